import { expect, test } from 'vitest';
import { knobsOf } from '@/board/knobs';
import type { Ring } from '@/lib/wire/Ring';

const square: Ring = [[0, 0], [100, 0], [100, 100], [0, 100]];

test('every corner has a knob where there is room', () => {
  expect(knobsOf(square, 1, null)).toEqual([0, 1, 2, 3]);
});

test('crowded corners share knobs, but the chosen one keeps its own', () => {
  const round: Ring = Array.from({ length: 360 }, (_, index) => {
    const angle = (index * Math.PI) / 180;
    return [50 * Math.cos(angle), 50 * Math.sin(angle)];
  });
  const knobs = knobsOf(round, 1, 5);
  expect(knobs).toContain(5);
  expect(knobs.length).toBeGreaterThan(10);
  expect(knobs.length).toBeLessThan(20);
  expect(knobsOf(round, 100, null)).toHaveLength(360);
});
