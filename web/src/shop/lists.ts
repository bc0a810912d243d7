import type { Blade } from '@/lib/wire/Blade';
import type { Clamp } from '@/lib/wire/Clamp';
import type { Person } from '@/lib/wire/Person';
import type { WorkingDay } from '@/lib/wire/WorkingDay';

const INCH = 25.4;
/** What a new day begins with. */
export const USUAL_HOURS: WorkingDay = { from: '09:00:00', to: '17:00:00' };

function nextId(all: { id: number }[]): number {
  return Math.max(0, ...all.map((it) => it.id)) + 1;
}

/** One more blade, a narrow one for curves, to be corrected. */
export function withBlade(blades: Blade[]): Blade[] {
  return [...blades, { id: nextId(blades), width: INCH / 4, kerf: 1, teeth_per_inch: 6 }];
}

/** One more kind of clamp, to be corrected. */
export function withClamp(clamps: Clamp[]): Clamp[] {
  const like = clamps.at(-1) ?? { name: '', reach: 600, force: 3000, count: 2 };
  return [...clamps, { ...like, name: 'New clamp' }];
}

/** One more person, who works as usual from Monday to Friday. */
export function withPerson(people: Person[]): Person[] {
  const day = USUAL_HOURS;
  return [...people, { id: nextId(people), name: 'New person', week: [day, day, day, day, day, null, null] }];
}

/** The person with other hours on a weekday, Monday being 0. */
export function withDay(person: Person, weekday: number, hours: WorkingDay | null): Person {
  return { ...person, week: person.week.with(weekday, hours) as Person['week'] };
}

/** The dates with one more, in order, each once. */
export function withDate(dates: string[], date: string): string[] {
  return [...new Set([...dates, date])].sort();
}

/** The hours of a week, in hours. */
export function weekHours(week: Person['week']): number {
  const minutes = (time: string) => Number(time.slice(0, 2)) * 60 + Number(time.slice(3, 5));
  return week.reduce((sum, day) => sum + (day ? minutes(day.to) - minutes(day.from) : 0), 0) / 60;
}
