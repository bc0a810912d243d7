const DAY = 86_400_000;

/** A civil date or date and time, read as if in UTC: the shop has one clock, and no zone. */
export function moment(text: string): number {
  return Date.parse(text.length === 10 ? `${text}T00:00Z` : `${text.slice(0, 16)}Z`);
}

/** `Wed 25 Nov`, with the year when it is not the one of `today`. */
export function showDay(text: string, today = text): string {
  const year = text.slice(0, 4) === today.slice(0, 4) ? undefined : ('numeric' as const);
  const way = { weekday: 'short', day: 'numeric', month: 'short', year, timeZone: 'UTC' } as const;
  return new Intl.DateTimeFormat('en-GB', way).format(moment(text.slice(0, 10)));
}

/** `14:05`. */
export function showTime(text: string): string {
  return text.slice(11, 16);
}

/** The date so many days later. */
export function daysAfter(date: string, days: number): string {
  return new Date(moment(date) + days * DAY).toISOString().slice(0, 10);
}

/** Minutes as hands and waits are told: `25 min`, `1 h 30 min`, `2 days 4 h`. */
export function showMinutes(minutes: number): string {
  const whole = Math.round(minutes);
  const [days, hours, rest] = [Math.floor(whole / 1440), Math.floor((whole % 1440) / 60), whole % 60];
  const told = [days && `${days} ${days === 1 ? 'day' : 'days'}`, hours && `${hours} h`, rest && `${rest} min`];
  return told.filter(Boolean).slice(0, 2).join(' ') || '0 min';
}

/** What is left of a timer: `1:05:09`, `4:07`. */
export function showLeft(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds));
  const two = (it: number) => String(it).padStart(2, '0');
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor((whole % 3600) / 60)];
  return hours ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}
