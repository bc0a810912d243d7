const DAY = 1440;
/** Steps between marks on the axis that a maker counts in, in minutes. */
const STEPS = [60, 180, 360, 720, DAY, 2 * DAY, 7 * DAY, 14 * DAY, 28 * DAY, 84 * DAY];

/** The day on which a moment falls, the first coat's being the first. */
export function dayOf(minutes: number): number {
  return Math.floor(minutes / DAY) + 1;
}

/** A mark on the axis. */
export interface AxisMark {
  at: number;
  word: string;
}

/** Marks for a stretch of time, no more of them than there is room for. */
export function axisMarks(total: number, room: number): AxisMark[] {
  const steps = total > 2 * DAY ? STEPS.filter((it) => it >= DAY) : STEPS;
  const step = steps.find((it) => total / it <= room) ?? STEPS.at(-1)!;
  const word = (at: number) => (step < DAY ? `${at / 60} h` : `day ${dayOf(at)}`);
  return Array.from({ length: Math.floor(total / step) + 1 }, (_, index) => ({ at: index * step, word: word(index * step) }));
}
