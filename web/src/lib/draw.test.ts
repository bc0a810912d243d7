import { expect, test } from 'vitest';
import { circlePath, dimensionMarks, grainPath, outlinePath, ruleSteps, seatRing } from '@/lib/draw';
import { areaOf, boxAround } from '@/lib/geometry';

test('an outline is drawn y down, its opening in the same path', () => {
  const outline = { outer: [[0, 0], [10, 0], [10, 5]], openings: [[[8, 1], [9, 1], [9, 2]]] } as never;
  expect(outlinePath(outline)).toBe('M0 0L10 0L10 -5ZM8 -1L9 -1L9 -2Z');
});

test('a circle is two half turns', () => {
  expect(circlePath([10, 10], 4)).toBe('M6 -10a4 4 0 1 0 8 0a4 4 0 1 0 -8 0Z');
});

test('grain has a head at both ends', () => {
  const strokes = grainPath([0, 0], 0, 100).split('M').filter(Boolean);
  expect(strokes).toHaveLength(3);
  expect(strokes[0]).toBe('-50 0L50 0');
});

test('a seat has its own length and width at any turn', () => {
  expect(areaOf(seatRing([5, 5], 30, 60, 20))).toBeCloseTo(1200, 6);
  const upright = boxAround(seatRing([0, 0], 90, 60, 20));
  expect(upright.width).toBeCloseTo(20, 9);
  expect(upright.height).toBeCloseTo(60, 9);
});

test('dimensions read in the maker’s units', () => {
  const box = { left: 0, bottom: 0, width: 368.3, height: 203.2 };
  const told = dimensionMarks(box, { system: 'inches', fraction: 16 }, 12).flatMap((it) => it.label?.text ?? []);
  expect(told).toEqual(['14 1/2 in', '8 in']);
});

test('the rule’s marks are ones a maker knows', () => {
  expect(ruleSteps(0.9, { system: 'millimetres', fraction: 16 })).toEqual({ step: 1, every: 10 });
  expect(ruleSteps(3, { system: 'inches', fraction: 16 }).step).toBeCloseTo(3.175, 9);
});
