import { expect, test } from 'vitest';
import { nearestOn } from '@/lib/geometry';
import { scaledBy } from '@/patterns/scale';
import { open, withLine } from '@/patterns/traced.svelte';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Ring } from '@/lib/wire/Ring';
import type { TracedLine } from '@/lib/wire/TracedLine';

const square: Ring = [[0, 0], [100, 0], [100, 100], [0, 100]];
const line: TracedLine = { drawn: square, corners: [[100, 100]], least_radius: 2, stray: 0.5, symmetric: false };
const pattern: Pattern = {
  id: 1,
  name: 'Leaf',
  origin: { from: 'traced', picture: 'p', line },
  outline: { outer: square, openings: [] },
  features: [],
};

test('a touch beside the outline takes the nearest point of it', () => {
  expect(nearestOn(square, [103, 40])).toEqual([100, 40]);
  expect(nearestOn(square, [110, 110])).toEqual([100, 100]);
});

test('a traced line grows with its pattern, corners too, and keeps its least radius', () => {
  const { origin, outline } = scaledBy(pattern, 3);
  expect(outline.outer[2]).toEqual([300, 300]);
  expect(origin).toMatchObject({ line: { corners: [[300, 300]], least_radius: 2, stray: 0.5 } });
  expect(origin.from === 'traced' && origin.line?.drawn[1]).toEqual([300, 0]);
});

test('a sharp place that is kept is not offered again', () => {
  expect(open([[0, 0], [99, 99]], [[100, 100]], 5)).toEqual([[0, 0]]);
});

test('another line brings its own outline, and a drawing has none', () => {
  const outline = { outer: square.slice(0, 3), openings: [] };
  expect(withLine(pattern, { ...line, symmetric: true }, outline)).toMatchObject({ outline, origin: { line: { symmetric: true } } });
  const drawing: Pattern = { ...pattern, origin: { from: 'drawing', file: 'x.svg' } };
  expect(withLine(drawing, line, outline)).toBe(drawing);
});
