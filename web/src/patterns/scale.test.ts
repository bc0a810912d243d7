import { expect, test } from 'vitest';
import { boxAround } from '@/lib/geometry';
import { scaledTo } from '@/patterns/scale';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Ring } from '@/lib/wire/Ring';

const outer: Ring = [[0, 0], [200, 0], [200, 80], [0, 80]];
const pattern: Pattern = {
  id: 1,
  name: 'Traced board',
  origin: { from: 'drawing', file: 'board.svg' },
  outline: { outer, openings: [] },
  features: [
    { id: 1, kind: { is: 'hanging_hole', at: [180, 40], diameter: 12 } },
    { id: 2, kind: { is: 'food_area', area: [[10, 10], [150, 10], [150, 70]] } },
  ],
};

test('a pattern of 200 mm brought to 300 mm grows by half in both ways, and its drill stays', () => {
  const { outline, features } = scaledTo(pattern, 300);
  expect(boxAround(outline.outer)).toEqual({ left: 0, bottom: 0, width: 300, height: 120 });
  expect(features[0]!.kind).toEqual({ is: 'hanging_hole', at: [270, 60], diameter: 12 });
  expect(features[1]!.kind).toEqual({ is: 'food_area', area: [[15, 15], [225, 15], [225, 105]] });
});
