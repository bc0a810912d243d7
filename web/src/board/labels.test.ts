import { describe, expect, test } from 'vitest';
import { placeLabels, spotsBeside, spotsInside, type Wish } from '@/board/labels';
import { boxAround, overlap, rectangle, within } from '@/lib/geometry';
import type { Outline } from '@/lib/wire/Outline';
import type { Ring } from '@/lib/wire/Ring';

const shape = (outer: Ring, ...openings: Ring[]): Outline => ({ outer, openings });
const board = shape(rectangle({ left: 0, bottom: 0, width: 300, height: 100 }));
const inside = (key: string, outline: Outline, more: Partial<Wish> = {}): Wish => ({
  key,
  text: 'Bread board',
  onWood: true,
  spots: (size) => spotsInside(outline, size),
  ...more,
});

describe('a name', () => {
  test('stands in the middle of its shape, and only where the shape has room at this zoom', () => {
    const [near] = placeLabels([inside('a', board)], [], 1);
    expect(near!.at).toEqual([150, 50]);
    expect(within(near!.box, boxAround(board.outer))).toBe(true);
    expect(placeLabels([inside('a', board)], [], 0.2)).toEqual([]);
  });

  test('is told in brief where the whole has no room', () => {
    const told = placeLabels([inside('a', board, { brief: '7' })], [], 0.2);
    expect(told.map((it) => it.text)).toEqual(['7']);
  });

  test('gives way to the ones before it', () => {
    const told = placeLabels([inside('a', board), inside('b', board)], [], 1);
    expect(told.map((it) => it.key)).toEqual(['a', 'b']);
    expect(overlap(told[0]!.box, told[1]!.box)).toBe(false);
    const flat = shape(rectangle({ left: 0, bottom: 0, width: 120, height: 18 }));
    expect(placeLabels([inside('a', flat), inside('b', flat)], [], 1).map((it) => it.key)).toEqual(['a']);
  });

  test('that has to be told stands there all the same', () => {
    const wall = boxAround(board.outer);
    expect(placeLabels([inside('a', board)], [wall], 1)).toEqual([]);
    expect(placeLabels([inside('a', board, { always: true })], [wall], 1)).toHaveLength(1);
  });

  test('keeps out of an opening and of a bay', () => {
    const hole = rectangle({ left: 100, bottom: 20, width: 100, height: 60 });
    const size = { width: 80, height: 16 };
    for (const [x, y] of spotsInside(shape(board.outer, hole), size)) {
      const box = { left: x - 40, bottom: y - 8, width: 80, height: 16 };
      expect(overlap(box, boxAround(hole))).toBe(false);
    }
    // An L: its box has room for the name nearly everywhere, its legs only along themselves.
    const bend: Ring = [[0, 0], [200, 0], [200, 30], [30, 30], [30, 200], [0, 200]];
    const spots = [...spotsInside(shape(bend), size)];
    expect(spots.length).toBeGreaterThan(0);
    for (const [, y] of spots) expect(y).toBeLessThan(30);
  });

  test('beside a box does not touch it', () => {
    const box = { left: 10, bottom: 10, width: 40, height: 20 };
    for (const [x, y] of spotsBeside(box, { width: 60, height: 16 })) {
      expect(overlap(box, { left: x - 30, bottom: y - 8, width: 60, height: 16 })).toBe(false);
    }
  });
});
