import { expect, test } from 'vitest';
import { arrowsApart, everyArrow, grainArrows } from '@/board/grain';
import { outlineBox } from '@/lib/draw';
import { rectangle } from '@/lib/geometry';
import type { Face } from '@/lib/wire/Face';
import type { GrainSample } from '@/lib/wire/GrainSample';

const box = { left: 0, bottom: 0, width: 1200, height: 340 };
/** A slab as a photo gives it: a sample every 35 mm, up to the edge. */
const samples = Array.from({ length: 34 * 10 }, (_, index): GrainSample => ({
  at: [10 + (index % 34) * 35, 10 + Math.floor(index / 34) * 35],
  direction: 0,
  sure: 0.9,
}));
const face = { outline: { outer: rectangle(box), openings: [] }, grain: { overall: 5, samples }, zones: [] } as unknown as Face;
const middles = (arrows: string[]) => arrows.map((path) => path.match(/-?[\d.]+/g)!.slice(0, 4).map(Number)).map(([a, b, c, d]) => [(a! + c!) / 2, -(b! + d!) / 2]);

test('a face that is shown whole has some thirty arrows, spread over all of it', () => {
  const arrows = grainArrows(face, 1, arrowsApart(outlineBox(face.outline), 1));
  expect(arrows.length).toBeGreaterThan(20);
  expect(arrows.length).toBeLessThanOrEqual(36);
  const x = middles(arrows).map((it) => it[0]!);
  expect(Math.min(...x)).toBeLessThan(150);
  expect(Math.max(...x)).toBeGreaterThan(1050);
});

test('a small picture has fewer, a nearer look more', () => {
  const far = grainArrows(face, 0.26, arrowsApart(box, 0.26));
  const near = grainArrows(face, 2, arrowsApart(box, 1));
  expect(far.length).toBeLessThan(6);
  expect(near.length).toBeGreaterThan(60);
  expect(everyArrow(face, 2, false)).toHaveLength(samples.length);
});

test('arrows stand beside what is cut out, and hand-drawn ones come first', () => {
  const cut = { outer: rectangle({ left: 0, bottom: 0, width: 1200, height: 180 }), openings: [] };
  const high = middles(grainArrows(face, 1, 340, [cut])).map((it) => it[1]!);
  expect(Math.min(...high)).toBeGreaterThan(180);
  const drawn: GrainSample = { at: [40, 300], direction: 90, sure: 1 };
  const by = { ...face, grain: { overall: 5, samples: [...samples, drawn] } };
  expect(middles(grainArrows(by, 1, 200))).toContainEqual([40, 300]);
  expect(everyArrow(by, 1, true)).toHaveLength(1);
});

test('a face without samples shows how it runs overall', () => {
  expect(grainArrows({ ...face, grain: { overall: 0, samples: [] } }, 1, 100)).toHaveLength(1);
});
