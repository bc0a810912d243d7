import { expect, test } from 'vitest';
import { daysOf, showMoment, showSlot } from '@/bench/when';
import { workpieceName, type Names } from '@/bench/workpieces';
import type { BenchOperation } from '@/lib/wire/BenchOperation';
import type { Slot } from '@/lib/wire/Slot';

const names = {
  piece: (id: number) => (id === 7 ? { name: 'Walnut slab' } : undefined),
  pattern: (id: number) => ({ name: id === 1 ? 'Leaf board' : 'Bread board' }),
  job: {
    wants: [{ id: 1, pattern: 1, count: 1 }, { id: 2, pattern: 2, count: 2 }],
    panels: [{ id: 1, name: 'Kitchen panel' }],
  },
} as unknown as Names;

test('things on the bench go by their names', () => {
  expect(workpieceName({ is: 'piece', of: 7 }, names)).toBe('Walnut slab');
  expect(workpieceName({ is: 'piece', of: 8 }, names)).toBe('Piece 8');
  expect(workpieceName({ is: 'strips', of: 1 }, names)).toBe('Strips for Kitchen panel');
  expect(workpieceName({ is: 'part', of: { want: 1, copy: 1 } }, names)).toBe('Leaf board');
  expect(workpieceName({ is: 'part', of: { want: 2, copy: 2 } }, names)).toBe('Bread board 2');
});

const slot = (from: string, to: string) => ({ from, to }) as Slot;

test('hours of one day, and over a night', () => {
  expect(showSlot(slot('2026-11-25T09:00:00', '2026-11-25T10:30:00'), '2026-11-25')).toBe('Wed 25 Nov, 09:00 to 10:30');
  expect(showSlot(slot('2026-11-25T15:00:00', '2026-11-26T10:30:00'), '2026-11-25')).toBe('Wed 25 Nov, 15:00 to Thu 26 Nov, 10:30');
});

test('a moment of today needs no day', () => {
  expect(showMoment('2026-11-25T14:05', '2026-11-25')).toBe('14:05');
  expect(showMoment('2026-11-25T14:05', '2026-11-26')).toBe('Wed 25 Nov, 14:05');
});

test('operations come day by day', () => {
  const on = (id: number, day: string) => ({ operation: { id }, slot: slot(`${day}T09:00:00`, ''), steps: [] }) as unknown as BenchOperation;
  const days = daysOf([on(1, '2026-11-25'), on(2, '2026-11-25'), on(3, '2026-11-27')]);
  expect(days.map((it) => [it.day, it.operations.map((one) => one.operation.id)])).toEqual([
    ['2026-11-25', [1, 2]],
    ['2026-11-27', [3]],
  ]);
});
