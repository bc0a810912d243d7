import { showDay, showTime } from '@/lib/dates';
import type { BenchOperation } from '@/lib/wire/BenchOperation';
import type { Slot } from '@/lib/wire/Slot';

/** `Wed 25 Nov, 09:00 to 10:30`, with both days if they differ. */
export function showSlot({ from, to }: Slot, today: string): string {
  const start = `${showDay(from, today)}, ${showTime(from)}`;
  const sameDay = from.slice(0, 10) === to.slice(0, 10);
  return sameDay ? `${start} to ${showTime(to)}` : `${start} to ${showDay(to, today)}, ${showTime(to)}`;
}

/** `14:05` today, `Wed 25 Nov, 14:05` on another day. */
export function showMoment(at: string, today: string): string {
  return at.startsWith(today) ? showTime(at) : `${showDay(at, today)}, ${showTime(at)}`;
}

/** The operations of one day, in order. */
export interface BenchDay {
  /** Empty for operations without a date. */
  day: string;
  operations: BenchOperation[];
}

/** Day by day, the days in the order in which they come. */
export function daysOf(operations: BenchOperation[]): BenchDay[] {
  const days: BenchDay[] = [];
  for (const operation of operations) {
    const day = operation.slot?.from.slice(0, 10) ?? '';
    const same = days.find((it) => it.day === day);
    if (same) same.operations.push(operation);
    else days.push({ day, operations: [operation] });
  }
  return days;
}
