import { expect, test } from 'vitest';
import { ringsOf, sawnWords, timesLarger } from '@/shop/boardends';

test('a change is drawn as large as still looks like a board', () => {
  expect(timesLarger(300, [-1, 2])).toBe(20);
  expect(timesLarger(300, [-30, 60])).toBe(1);
  expect(timesLarger(300, [0, 0])).toBe(100);
});

test('rings lie along a flat-sawn face and stand on a quarter-sawn one', () => {
  const flat = ringsOf(200, 40, 0, 8);
  expect(flat.pith).toEqual({ x: 0, y: 400 });
  const quarter = ringsOf(200, 40, 90, 8);
  expect(quarter.pith.x).toBeCloseTo(400);
  expect(quarter.pith.y).toBeCloseTo(0);
});

test('every ring that crosses the end is there, and hardly one that does not', () => {
  for (const degrees of [0, 20, 45, 77, 90]) {
    const { pith, radii } = ringsOf(200, 40, degrees, 8);
    const corners = [-100, 100].flatMap((x) => [-20, 20].map((y) => Math.hypot(pith.x - x, pith.y - y)));
    expect(radii[0]! - 8).toBeLessThan(Math.min(...corners));
    expect(radii.at(-1)! + 8).toBeGreaterThan(Math.max(...corners));
  }
});

test('an angle has its word', () => {
  expect([0, 29, 30, 45, 60, 61, 90].map(sawnWords)).toEqual([
    'flat-sawn', 'flat-sawn', 'rift-sawn', 'rift-sawn', 'rift-sawn', 'quarter-sawn', 'quarter-sawn',
  ]);
});
