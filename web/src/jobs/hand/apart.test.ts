import { describe, expect, test } from 'vitest';
import { contactsOf, nearestSpot, type Thing } from '@/jobs/hand/apart';
import { at, blob, box, dice, plain, wavy } from '@/jobs/hand/examples';
import { Lines } from '@/jobs/hand/lines';
import { Posed } from '@/jobs/hand/posed';
import { awayFrom, contains, distance, placeOutline } from '@/lib/geometry';
import type { Outline } from '@/lib/wire/Outline';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';

type Edge = [Point, Point];
const edgesOf = ({ outer, openings }: Outline): Edge[] =>
  [outer, ...openings].flatMap((ring) => ring.map((from, index): Edge => [from, ring[(index + 1) % ring.length]!]));
const holds = ({ outer, openings }: Outline, spot: Point) => contains(outer, spot) && !openings.some((it) => contains(it, spot));

function cross([a, b]: Edge, [c, d]: Edge): boolean {
  const side = ([ax, ay]: Point, [bx, by]: Point, [x, y]: Point) => Math.sign((bx - ax) * (y - ay) - (by - ay) * (x - ax));
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/** Every edge against every other, and every corner. */
function naive(part: Outline, thing: Outline, within: boolean): { amiss: boolean; far: number } {
  const [one, two] = [edgesOf(part), edgesOf(thing)];
  let far = Infinity;
  let crossed = false;
  for (const a of one) {
    for (const b of two) {
      crossed ||= cross(a, b);
      far = Math.min(far, ...a.map((it) => awayFrom(it, ...b)), ...b.map((it) => awayFrom(it, ...a)));
    }
  }
  const inside = one.some(([it]) => holds(thing, it));
  const around = two.some(([it]) => holds(part, it));
  return { amiss: crossed || around || inside !== within, far };
}

const thing = (outline: Outline, within = false): Thing => ({ lines: new Lines(outline), within, clear: 0 });
const meet = (outline: Outline, place: Place, other: Thing, limit = 1e4) => nearestSpot(new Posed(new Lines(outline), place), other, limit);

function randomPlace(roll: () => number, spread: number): Place {
  return at((roll() - 0.5) * spread, (roll() - 0.5) * spread, roll() * 360 - 180, roll() < 0.5);
}

describe('how far a part and a thing are apart', () => {
  test.each([false, true])('is what every edge against every other tells, to lie within: %s', (within) => {
    const roll = dice(within ? 5 : 3);
    const counts = { apart: 0, amiss: 0 };
    for (let round = 0; round < 400; round++) {
      const part: Outline = { outer: blob([0, 0], 15, 60, 9 + (round % 7), roll), openings: round % 3 ? [] : [blob([0, 0], 3, 10, 5, roll)] };
      const size = within ? 220 : 40;
      const other: Outline = { outer: blob([5, 5], size / 3, size, 24, roll), openings: round % 2 ? [] : [blob([5, 5], 2, size / 5, 6, roll)] };
      const place = randomPlace(roll, within ? 160 : 200);
      const told = meet(part, place, thing(other, within))!;
      const { amiss, far } = naive(placeOutline(place, part), other, within);
      expect(told.way < 0, `round ${round}`).toBe(amiss);
      if (!amiss) expect(told.way, `round ${round}`).toBeCloseTo(far, 6);
      expect(distance(told.from, told.to)).toBeCloseTo(Math.abs(told.way), 6);
      expect(Math.hypot(...told.off)).toBeCloseTo(1, 6);
      counts[amiss ? 'amiss' : 'apart']++;
    }
    expect(Math.min(counts.amiss, counts.apart)).toBeGreaterThan(60);
  });

  test('the two points lie on the part and on the thing', () => {
    const roll = dice(9);
    for (let round = 0; round < 100; round++) {
      const [part, other] = [plain(blob([0, 0], 15, 60, 12, roll)), plain(blob([0, 0], 20, 40, 12, roll))];
      const place = randomPlace(roll, 200);
      const told = meet(part, place, thing(other))!;
      const away = (spot: Point, outline: Outline) => Math.min(...edgesOf(outline).map((it) => awayFrom(spot, ...it)));
      const laid = placeOutline(place, part);
      if (told.way < 0) expect(away(told.from, laid) < 1e-6 || away(told.to, other) < 1e-6).toBe(true);
      else for (const off of [away(told.from, laid), away(told.to, other)]) expect(off).toBeLessThan(1e-6);
    }
  });

  test('a way farther than is asked for is not told, but an overlap always is', () => {
    const part = plain(box(0, 0, 10, 10));
    expect(meet(part, at(30, 0), thing(plain(box(0, 0, 20, 10))), 9)).toBeNull();
    expect(meet(part, at(30, 0), thing(plain(box(0, 0, 20, 10))), 11)?.way).toBeCloseTo(10);
    expect(meet(part, at(5, 0), thing(plain(box(-50, -50, 200, 200))), 0)?.way).toBeLessThan(-50);
  });
});

describe('an overlap that no corner shows', () => {
  const overlap = (one: Outline, other: Outline, place = at(0, 0)) => meet(one, place, thing(other))!.way;

  test('of two boards laid crosswise', () => {
    expect(overlap(plain(box(-50, -5, 100, 10)), plain(box(-5, -50, 10, 100)))).toBeCloseTo(-5);
  });

  test('of two boards of one width, end over end', () => {
    expect(overlap(plain(box(0, 0, 100, 40)), plain(box(70, 0, 100, 40)))).toBeCloseTo(-20);
    expect(overlap(plain(box(0, 0, 100, 40)), plain(box(99.97, 0, 100, 40)))).toBeCloseTo(-0.03);
  });

  test('of a board on another just like it', () => {
    expect(overlap(plain(box(0, 0, 100, 40)), plain(box(0, 0, 100, 40)))).toBeLessThan(-15);
    const leaf = plain(wavy([0, 0], 120, 60, 60, 0.1));
    expect(overlap(leaf, placeOutline(at(300, 40, 37), leaf), at(300, 40, 37))).toBeLessThan(-20);
  });

  test('but none where they only touch, or lie in an opening', () => {
    expect(overlap(plain(box(0, 0, 100, 40)), plain(box(100, 0, 100, 40)))).toBeCloseTo(0);
    const ring: Outline = { outer: box(0, 0, 100, 100), openings: [box(30, 30, 40, 40)] };
    expect(overlap(plain(box(40, 40, 10, 10)), ring)).toBeCloseTo(10);
    expect(overlap(ring, plain(box(40, 40, 10, 10)))).toBeCloseTo(10);
    expect(overlap(plain(box(30, 30, 40, 40)), ring)).toBeCloseTo(0);
  });
});

test('spots on several sides are all told, for a corner', () => {
  const wood = thing(plain(box(0, 0, 300, 200)), true);
  const contacts = contactsOf(new Posed(new Lines(plain(box(0, 0, 50, 30))), at(4, 6)), wood, 10);
  const told = contacts.map((it) => [Math.round(it.off[0]), Math.round(it.off[1]), Math.round(it.way)]);
  expect(told).toContainEqual([1, 0, 4]);
  expect(told).toContainEqual([0, 1, 6]);
});
