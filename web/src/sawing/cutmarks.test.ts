import { describe, expect, test } from 'vitest';
import { boxAt, clearOfRing, distance, rectangle } from '@/lib/geometry';
import { cutArrow, cutNumbers, cutPath, holePaths, numberAt, NUMBER_WIDE } from '@/sawing/cutmarks';
import { aCut, aSheet, sawn, someFigures, twoCuts } from '@/sawing/examples';

const nothing = { rings: [], boxes: [] };

describe('the numbers of the cuts', () => {
  test('stand straight behind their beginnings, in order', () => {
    expect(cutNumbers(twoCuts, nothing, 1)).toEqual([
      { number: 1, of: [200, 110], at: [200, 134] },
      { number: 2, of: [210, 80], at: [234, 80] },
    ]);
  });

  test('keep clear of a part, of a name and of each other', () => {
    const part = rectangle({ left: 150, bottom: 112, width: 100, height: 60 });
    const name = boxAt([234, 80], { width: 30, height: 16 });
    const numbers = cutNumbers(twoCuts, { rings: [part], boxes: [name] }, 1);
    for (const { at } of numbers) {
      const box = boxAt(at, { width: NUMBER_WIDE, height: NUMBER_WIDE });
      expect(clearOfRing(part, box)).toBe(true);
    }
    expect(numbers[1]!.at).not.toEqual([234, 80]);
    expect(distance(numbers[0]!.at, numbers[1]!.at)).toBeGreaterThanOrEqual(NUMBER_WIDE);
  });

  test('stand apart even where there is no free place', () => {
    const all = rectangle({ left: -500, bottom: -500, width: 1500, height: 1500 });
    const two = aSheet([aCut([sawn([0, 0], [50, 0])]), someFigures()], [aCut([sawn([1, 0], [50, 9])]), someFigures()]);
    const [one, other] = cutNumbers(two, { rings: [all], boxes: [] }, 1);
    expect(distance(one!.at, other!.at)).toBeGreaterThanOrEqual(NUMBER_WIDE);
  });

  test('are found under a finger, the nearest of them, and not beyond its reach', () => {
    const numbers = cutNumbers(twoCuts, nothing, 1);
    expect(numberAt(numbers, [202, 130], 22)?.number).toBe(1);
    expect(numberAt(numbers, [230, 90], 22)?.number).toBe(2);
    expect(numberAt(numbers, [100, 10], 22)).toBeUndefined();
  });
});

describe('the line of a cut', () => {
  test('is broken where the work is turned', () => {
    const cut = aCut([sawn([0, 0], [10, 0]), { is: 'turned', about: [8, 0], by: 90 }, sawn([8, 2], [8, 9])]);
    expect(cutPath(cut)).toBe('M0 0L10 0M8 -2L8 -9');
  });

  test('has its arrow on the longest leg, open against the way', () => {
    const cut = aCut([sawn([0, 0], [10, 0]), sawn([10, 0], [10, 100])]);
    const [, tip] = cutArrow(cut, 1).split('L');
    expect(tip).toBe('10 -42');
    expect(cutArrow(aCut([]), 1)).toBe('');
  });

  test('and a hole has its circle and its middle lines', () => {
    const { circle, cross } = holePaths({ part: { want: 1, copy: 1 }, at: [20, 10], diameter: 10, is: 'pivot' });
    expect(circle).toContain('a5 5');
    expect(cross).toBe('M13.25 -10L26.75 -10M20 -3.25L20 -16.75');
  });
});
