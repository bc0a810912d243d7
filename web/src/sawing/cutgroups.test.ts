import { expect, test } from 'vitest';
import { cutGroups, faceOf, sheetOf } from '@/sawing/cutgroups';
import { twoCuts } from '@/sawing/examples';
import type { Operation } from '@/lib/wire/Operation';

function aSawing(id: number, piece: number, cuts: number[]): Operation {
  return {
    id, kind: 'saw', title: `Saw ${id}`, inputs: [{ is: 'piece', of: piece }], outputs: [], after: [], machine: 'bandsaw', clamps: 0,
    set_up: [], steps: [], hands: 5, unbroken: false, wait: 0, cautions: [], uses: [], figures: [], marks: [], cuts, lines: [], fixings: [],
  };
}

test('cuts stand by their operations, with their numbers on the sheet', () => {
  const groups = cutGroups([aSawing(4, 1, [2]), aSawing(5, 1, [1])], [twoCuts]);
  expect(groups.map((it) => [it.title, it.face, it.cuts.map((cut) => cut.number)])).toEqual([
    ['Saw 4', 'piece-1', [2]],
    ['Saw 5', 'piece-1', [1]],
  ]);
  expect(groups[0]!.cuts[0]!.figures).toBe(twoCuts.cuts[1]);
});

test('what saws by hand or on a face without a sheet has no cuts to show', () => {
  expect(cutGroups([aSawing(4, 1, []), aSawing(5, 2, [1])], [twoCuts])).toEqual([]);
  expect(cutGroups([aSawing(4, 1, [9])], [twoCuts])[0]!.cuts).toEqual([]);
});

test('lines by hand are on the sheet of their face, and are no cuts of the bandsaw', () => {
  const byHand: Operation = { ...aSawing(4, 1, []), kind: 'crosscut', lines: ['A'] };
  expect(sheetOf(byHand, [twoCuts])).toBe(twoCuts);
  expect(sheetOf({ ...byHand, lines: [] }, [twoCuts])).toBeUndefined();
  expect(cutGroups([byHand], [twoCuts])).toEqual([]);
});

test('a panel is sawn on its own face, and a part on none', () => {
  expect(faceOf({ ...aSawing(4, 1, [1]), inputs: [{ is: 'panel', of: 3 }] })).toEqual({ of: 'panel', id: 3 });
  expect(faceOf({ ...aSawing(4, 1, [1]), inputs: [{ is: 'part', of: { want: 1, copy: 1 } }] })).toBeNull();
});
