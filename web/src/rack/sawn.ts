import { showDay } from '@/lib/dates';
import type { Sawn } from '@/lib/wire/Sawn';

/** `Sawn for Harvest supper on Wed 25 Nov`. */
export function sawnWords(sawn: Sawn, job: string | undefined, today?: string): string {
  return `Sawn for ${job ?? 'a job that was taken away'} on ${showDay(sawn.on, today)}`;
}
