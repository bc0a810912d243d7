import { daysAfter, moment } from '@/lib/dates';
import type { Operation } from '@/lib/wire/Operation';
import type { Plan } from '@/lib/wire/Plan';
import type { Slot } from '@/lib/wire/Slot';

/** An operation and when it is done. */
export interface Dated {
  operation: Operation;
  slot: Slot | undefined;
}

/** The operations in the order of their dates; those without one come last, in their own order. */
export function inOrder(plan: Plan): Dated[] {
  const dated = plan.operations.map((operation) => ({
    operation,
    slot: plan.schedule.slots.find((it) => it.operation === operation.id),
  }));
  const start = (it: Dated) => (it.slot ? moment(it.slot.from) : Infinity);
  return dated.sort((a, b) => (start(a) === start(b) ? a.operation.id - b.operation.id : start(a) - start(b)));
}

/** From the first morning to the end of the last day, with the job's own day in it. */
export interface Span {
  from: string;
  days: number;
}

export function spanOf(dated: readonly Dated[], ...others: (string | null)[]): Span {
  const slots = dated.flatMap((it) => (it.slot ? [it.slot.from, it.slot.done] : []));
  const days = [...slots, ...others].flatMap((it) => (it ? [it.slice(0, 10)] : [])).sort();
  const from = days[0] ?? '2000-01-01';
  return { from, days: Math.round((moment(days.at(-1) ?? from) - moment(from)) / DAY) + 1 };
}

const DAY = 86_400_000;

/** How far along the span a moment is, 0 to 1. */
export function along(span: Span, text: string): number {
  return (moment(text) - moment(span.from)) / (span.days * DAY);
}

/** The days of a span that carry a date on the axis: each one, or fewer if `room` is small. */
export function axisDays(span: Span, room: number): string[] {
  const every = [1, 2, 7, 14, 28, 56].find((it) => span.days / it <= room) ?? Math.ceil(span.days / room);
  return Array.from({ length: Math.ceil(span.days / every) }, (_, index) => daysAfter(span.from, index * every));
}
