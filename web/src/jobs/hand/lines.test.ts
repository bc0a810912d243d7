import { expect, test } from 'vitest';
import { blob, box, dice, plain } from '@/jobs/hand/examples';
import { Lines } from '@/jobs/hand/lines';
import { awayFrom, contains } from '@/lib/geometry';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';

const roll = dice(7);
const outlines = Array.from({ length: 12 }, (): Outline => ({ outer: blob([0, 0], 20, 90, 40, roll), openings: [blob([0, 0], 4, 15, 9, roll)] }));
const edgesOf = ({ outer, openings }: Outline) => [outer, ...openings].flatMap((ring) => ring.map((from, index) => [from, ring[(index + 1) % ring.length]!] as [Point, Point]));
const spots = Array.from({ length: 120 }, (): Point => [roll() * 240 - 120, roll() * 240 - 120]);

test('the nearest edge is the one that looking at all of them finds', () => {
  for (const outline of outlines) {
    const lines = new Lines(outline);
    for (const spot of spots) {
      const far = Math.min(...edgesOf(outline).map((it) => awayFrom(spot, ...it)));
      expect(lines.nearest(...spot, Infinity)).toBeGreaterThanOrEqual(0);
      expect(lines.far).toBeCloseTo(far, 9);
      expect(lines.nearest(...spot, far - 0.01)).toBe(-1);
      expect(lines.nearest(...spot, Infinity, -1, far + 0.01)).toBe(-1);
      const guess = Math.floor(roll() * lines.count);
      lines.nearest(...spot, Infinity, guess);
      expect(lines.far).toBeCloseTo(far, 9);
    }
  }
});

test('inside is between the outer line and the openings, whichever way they were drawn', () => {
  for (const outline of outlines) {
    const backward: Outline = { outer: [...outline.outer].reverse(), openings: outline.openings };
    for (const spot of spots) {
      const inside = contains(outline.outer, spot) && !contains(outline.openings[0]!, spot);
      expect(new Lines(outline).holds(...spot)).toBe(inside);
      expect(new Lines(backward).holds(...spot)).toBe(inside);
    }
  }
});

test('a place well inside lies inside, and a shape without room has none', () => {
  for (const outline of outlines) {
    const lines = new Lines(outline);
    expect(lines.holds(...lines.deep!)).toBe(true);
  }
  expect(new Lines(plain(box(0, 0, 100, 0))).deep).toBeNull();
});

test('crossings are told with their places on both lines, and touching counts', () => {
  const lines = new Lines(plain(box(0, 0, 100, 40)));
  const told: [number, number, number][] = [];
  lines.crossings(50, -10, 50, 30, (...it) => told.push(it));
  expect(told).toEqual([[0, 0.25, 0.5]]);
  const touching: number[] = [];
  lines.crossings(20, 40, 20, 60, (edge) => touching.push(edge));
  expect(touching).toEqual([2]);
  const none: number[] = [];
  lines.crossings(-5, 41, 105, 41, (edge) => none.push(edge));
  expect(none).toEqual([]);
});
