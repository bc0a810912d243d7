import { describe, expect, test } from 'vitest';
import { nearestSpot } from '@/jobs/hand/apart';
import { aFace, aPart, at, blob, box, dice, neighbour, plain, wavy, wood, zone } from '@/jobs/hand/examples';
import { pushed } from '@/jobs/hand/push';
import { liesFree } from '@/jobs/hand/verdict';
import type { Point } from '@/lib/wire/Point';

const board = aPart(plain(box(0, 0, 100, 40)));
const plank = plain(box(0, 0, 600, 200));
const [right, left, up]: Point[] = [[1, 0], [-1, 0], [0, 1]];

describe('a part pushed one way', () => {
  test('goes as far as the edge of the wood, and then no farther', () => {
    const face = aFace([wood(plank, 4)]);
    const place = pushed(board, face, at(100, 50), right!)!;
    expect(place.at).toEqual([496, 50]);
    expect(pushed(board, face, place, right!)!.at).toEqual([496, 50]);
    expect(pushed(board, face, place, left!)!.at).toEqual([4, 50]);
  });

  test('stops at a neighbour and at a zone in its way, and passes what is beside it', () => {
    const things = [wood(plank, 4), neighbour(1, plain(box(300, 60, 50, 50)), 3), zone(box(250, 4, 10, 10), 4)];
    expect(pushed(board, aFace(things), at(20, 50), right!)!.at).toEqual([197, 50]);
    expect(pushed(board, aFace(things), at(20, 120), right!)!.at).toEqual([496, 120]);
    expect(pushed(board, aFace(things), at(20, 10), right!)!.at).toEqual([146, 10]);
  });

  test('goes along what it touches already', () => {
    const face = aFace([wood(plank, 4), neighbour(1, plain(box(0, 47, 600, 20)), 3)]);
    expect(pushed(board, face, at(20, 4), right!)!.at).toEqual([496, 4]);
    expect(pushed(board, face, at(20, 4), up!)!.at).toEqual([20, 4]);
    const flush = aFace([wood(plank, 0)]);
    expect(pushed(board, flush, at(20, 0), right!)!.at).toEqual([500, 0]);
    expect(pushed(board, flush, at(0, 0), up!)!.at).toEqual([0, 160]);
    expect(pushed(board, flush, at(0, 0), left!)!.at).toEqual([0, 0]);
  });

  test('from where it may not lie goes to the first place where it may', () => {
    const face = aFace([wood(plank, 4), zone(box(130, 60, 10, 10), 4)]);
    expect(pushed(board, face, at(100, 50), right!)!.at).toEqual([144, 50]);
    expect(pushed(board, face, at(-80, 50), right!)!.at).toEqual([4, 50].map((it, index) => (index ? it : 4)));
    const walled = aFace([wood(plank, 4), neighbour(1, plain(box(0, 90, 600, 100)), 3)]);
    expect(pushed(board, walled, at(100, 80), up!)).toBeNull();
  });
});

test('a push among random shapes ends touching, with nothing run through', () => {
  const roll = dice(31);
  let pushes = 0;
  for (let round = 0; round < 150; round++) {
    const middle = (): Point => [60 + roll() * 480, 60 + roll() * 180];
    const others = Array.from({ length: 3 }, (_, index) => neighbour(index + 1, plain(blob(middle(), 10, 40, 12, roll)), 3.1));
    const face = aFace([wood(plain(wavy([300, 150], 600, 300, 80, 0.02)), 4), ...others]);
    const part = aPart(plain(blob([0, 0], 10, 30, 9, roll)));
    const from = at(...middle(), roll() * 360, round % 2 === 0);
    if (!liesFree(face, part.at(from))) continue;
    const turn = roll() * 2 * Math.PI;
    const way: Point = [Math.cos(turn), Math.sin(turn)];
    const to = pushed(part, face, from, way)!;
    const far = Math.hypot(to.at[0] - from.at[0], to.at[1] - from.at[1]);
    for (let share = 0; share <= 1; share += 0.02) {
      const there = at(from.at[0] + share * (to.at[0] - from.at[0]), from.at[1] + share * (to.at[1] - from.at[1]), from.turn, from.mirrored);
      expect(liesFree(face, part.at(there)), `round ${round} at ${share}`).toBe(true);
    }
    expect(far).toBeLessThan(700);
    const gaps = face.things.map((it) => (nearestSpot(part.at(to), it, it.clear + 1)?.way ?? 1e3) - it.clear);
    expect(Math.min(...gaps), `round ${round}`).toBeLessThan(0.002);
    pushes++;
  }
  expect(pushes).toBeGreaterThan(60);
});
