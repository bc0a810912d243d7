import { describe, expect, test } from 'vitest';
import { contactsOf, nearestSpot } from '@/jobs/hand/apart';
import { aFace, aPart, aStem, at, blob, box, dice, neighbour, plain, wavy, wood, zone } from '@/jobs/hand/examples';
import { snapped } from '@/jobs/hand/snap';
import { breachesAt, missing, type Breach } from '@/jobs/hand/verdict';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';

const board = aPart(plain(box(0, 0, 100, 40)));
const plank = plain(box(0, 0, 600, 200));

describe('a part held near to contact is drawn to it', () => {
  test('at the edge of the wood, with what is kept clear there', () => {
    const face = aFace([wood(plank, 4)]);
    expect(snapped(board, face, at(200, 7.3), 5).at).toEqual([200, 4]);
    expect(snapped(board, face, at(200, 1.2), 5).at).toEqual([200, 4]);
  });

  test('at a neighbour, with the gap that the saw needs', () => {
    const face = aFace([wood(plank, 0), neighbour(1, plain(box(300, 50, 100, 40)), 3.1)]);
    expect(snapped(board, face, at(195, 52), 5).at).toEqual([196.9, 52]);
  });

  test('at a zone, whichever corner is nearest', () => {
    const face = aFace([wood(plank, 0), zone(wavy([300, 100], 40, 40, 64, 0), 4)]);
    const place = snapped(board, face, at(172, 80), 6);
    expect(nearestSpot(board.at(place), face.things[1]!, 50)!.way).toBeCloseTo(4, 2);
  });

  test('at two things at once it comes to lie in the corner', () => {
    const corner = aFace([wood(plank, 4)]);
    expect(snapped(board, corner, at(8, 1), 6).at).toEqual([4, 4]);
    const between = aFace([wood(plank, 4), neighbour(1, plain(box(300, 0, 100, 60)), 3.1)]);
    expect(snapped(board, between, at(194, 9), 6).at).toEqual([196.9, 4]);
    // On the slant, against a turned neighbour.
    const turned: Outline = plain([[300, 0], [400, 0], [400, 100], [340, 100]]);
    const slant = aFace([wood(plank, 4), neighbour(1, turned, 3)]);
    const place = snapped(board, slant, at(203, 6), 8);
    expect(place.at[1]).toBeCloseTo(4, 2);
    expect(nearestSpot(board.at(place), slant.things[1]!, 50)!.way).toBeCloseTo(3, 2);
  });
});

describe('a part is left where it is held', () => {
  test('where contact is farther than the reach, so that near looking lays finer', () => {
    const face = aFace([wood(plank, 4)]);
    const place = at(200, 10);
    expect(snapped(board, face, place, 5.9)).toBe(place);
    expect(snapped(board, face, place, 6.1).at[1]).toBe(4);
  });

  test('where it plainly lies over something', () => {
    const place = at(300, 8);
    expect(snapped(board, aFace([wood(plank, 4), zone(box(340, 20, 10, 10), 4)]), place, 6)).toBe(place);
  });

  test('where contact with one would bring it too near to another', () => {
    // Between two neighbours that are not apart enough for it: drawn to neither.
    const face = aFace([wood(plank, 0), neighbour(1, plain(box(0, 100, 600, 20)), 3), neighbour(2, plain(box(0, 30, 600, 25)), 3)]);
    const place = at(200, 57.6);
    expect(snapped(board, face, place, 6).at[1]).toBe(57.6);
  });
});

const named = ({ against }: Breach) => JSON.stringify(against.kind === 'grain' ? 'grain' : against);

test('snapping never makes a breach that was not there, and none worse', () => {
  const roll = dice(21);
  const counts = { drawn: 0, corners: 0, amiss: 0 };
  for (let pose = 0; pose < 200; pose++) {
    const middle = (): Point => [60 + roll() * 480, 45 + roll() * 210];
    const others = Array.from({ length: 3 }, (_, index) => neighbour(index + 1, plain(blob(middle(), 15, 40, 14, roll)), 3.1));
    const zones = Array.from({ length: 2 }, () => zone(blob(middle(), 4, 14, 9, roll), 4));
    const slab = pose % 4 ? wavy([300, 150], 600, 300, 90, 0.02) : box(40, 40, 520, 220);
    const face = aFace([wood(plain(slab), 4), ...zones, ...others], { overall: 8, samples: [] });
    const part = aPart(plain(pose % 2 ? wavy([0, 0], 110, 60, 40, 0.1) : blob([0, 0], 18, 50, 11, roll)), [aStem([20, 0], [50, 0], 20)]);
    // Some of them lie in the corner of a plank.
    const place = pose % 8 ? at(...middle(), (pose % 3) * 11, pose % 5 === 0) : at(100 + 14 * roll(), 80 + 14 * roll());
    const reach = 3 + roll() * 9;
    const laid = snapped(part, face, place, reach);
    const before = breachesAt(part, face, part.at(place));
    const after = breachesAt(part, face, part.at(laid));
    for (const it of after) {
      const was = before.find((other) => named(other) === named(it));
      expect(was, `pose ${pose}: ${named(it)}`).toBeDefined();
      expect(missing(it)).toBeLessThan(missing(was!) + (it.against.kind === 'grain' ? 0.51 : 0.011));
    }
    if (laid === place) continue;
    expect(Math.hypot(laid.at[0] - place.at[0], laid.at[1] - place.at[1])).toBeLessThan(2 * reach + 0.01);
    const touched = face.things.flatMap((it) => contactsOf(part.at(laid), it, it.clear + 1).filter(({ way }) => Math.abs(way - it.clear) < 0.002));
    expect(touched.length).toBeGreaterThan(0);
    counts.drawn++;
    counts.corners += Number(touched.length > 1);
    counts.amiss += Number(before.length > 0);
  }
  expect(counts.drawn).toBeGreaterThan(40);
  expect(counts.corners).toBeGreaterThan(5);
  expect(counts.amiss).toBeGreaterThan(10);
});
