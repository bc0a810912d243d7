import { showDay } from '@/lib/dates';
import { counted } from '@/lib/words';
import type { JobView } from '@/lib/wire/JobView';
import type { IconName } from '@/ui/Icon.svelte';

/** How far a job has come, in a word and a sign. */
export interface JobState {
  tone: 'plain' | 'stop' | 'mend' | 'good';
  icon: IconName;
  word: string;
}

export function stateOf({ job, plan, sawn }: JobView): JobState {
  if (!job.wants.length && !plan) return { tone: 'plain', icon: 'plus', word: 'Nothing wanted yet' };
  if (!plan) return { tone: 'plain', icon: 'plan', word: 'Not planned yet' };
  if (sawn) return { tone: 'good', icon: 'check', word: 'Sawn' };
  if (plan.stale) return { tone: 'mend', icon: 'mend', word: 'To be planned again' };
  if (plan.stops) return { tone: 'stop', icon: 'stop', word: 'Cannot be made as planned' };
  if (plan.mends) return { tone: 'mend', icon: 'mend', word: 'Planned, with something to mend' };
  return { tone: 'good', icon: 'check', word: 'Planned' };
}

/** What the last planning found, and when the boards are ready. */
export function planLines({ job, plan }: JobView, today?: string): string[] {
  if (!plan) return [];
  const found = [plan.stops && counted(plan.stops, 'stop'), plan.mends && counted(plan.mends, 'thing to mend', 'things to mend')];
  const late = plan.ready_on > job.due ? ', after the day it is wanted' : '';
  return [found.filter(Boolean).join(', ') || 'Nothing to mend', `Ready on ${showDay(plan.ready_on, today)}${late}`];
}
