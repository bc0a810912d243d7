import { expect, test } from 'vitest';
import { twoCuts } from '@/sawing/examples';
import { roomAtSaw } from '@/sawing/room';
import { Sequence } from '@/sawing/sequence';

test('the room at the saw holds table, column and every place of the work', () => {
  const sequence = new Sequence(twoCuts);
  const room = roomAtSaw(sequence, twoCuts.cuts.map((it) => it.held.outer), 400, 340);
  expect(room.left).toBe(-340 - 70 - 20);
  expect(room.bottom + room.height).toBeGreaterThanOrEqual(200 + 20);
  expect(room.bottom).toBeLessThanOrEqual(-200 - 20);
  expect(room.left + room.width).toBeGreaterThan(210);
});
