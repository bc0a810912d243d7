import { describe, expect, test } from 'vitest';
import { boxAround, contains } from '@/lib/geometry';
import { aCut, aSheet, plank, sawn, someFigures, twoCuts } from '@/sawing/examples';
import { heldPieces } from '@/sawing/held';
import { roomAtSaw } from '@/sawing/room';
import { Sequence } from '@/sawing/sequence';

describe('what is in the hands', () => {
  test('is all of the wood at first, and then only the half that is sawn on', () => {
    const [first, second] = heldPieces(plank, twoCuts);
    expect(contains(first!, [10, 50]) && contains(first!, [390, 50])).toBe(true);
    expect(contains(second!, [10, 50])).toBe(true);
    expect(contains(second!, [390, 50])).toBe(false);
    expect(boxAround(second!).width).toBeGreaterThan(198);
    expect(boxAround(second!).width).toBeLessThan(203);
  });

  test('is without what fell before', () => {
    const sheet = aSheet(...twoCuts.plan.cuts.map((it, index): [typeof it, (typeof twoCuts.cuts)[number]] => [it, twoCuts.cuts[index]!]), [
      aCut([sawn([100, 90], [100, -10])]),
      someFigures(),
    ]);
    expect(boxAround(heldPieces(plank, sheet)[2]!).height).toBeLessThan(84);
  });

  test('stays whole while a cut has not come through', () => {
    const sheet = aSheet([aCut([sawn([200, 110], [200, 40])]), someFigures()], [aCut([sawn([-10, 20], [410, 20])]), someFigures()]);
    const held = heldPieces(plank, sheet)[1]!;
    expect(contains(held, [100, 80]) && contains(held, [300, 80])).toBe(true);
  });

  test('stays what it was for a way beside the wood', () => {
    expect(heldPieces(plank, aSheet([aCut([sawn([500, 0], [500, 90])]), someFigures()]))).toEqual([plank.outer]);
  });
});

test('the room at the saw holds table, column and every place of the work', () => {
  const sequence = new Sequence(twoCuts);
  const room = roomAtSaw(sequence, heldPieces(plank, twoCuts), 400, 340);
  expect(room.left).toBe(-340 - 70 - 20);
  expect(room.bottom + room.height).toBeGreaterThanOrEqual(200 + 20);
  expect(room.bottom).toBeLessThanOrEqual(-200 - 20);
  expect(room.left + room.width).toBeGreaterThan(210);
});
