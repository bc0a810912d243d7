import { getContext, setContext } from 'svelte';
import type { LongWork } from '@/lib/work.svelte';

const DEMO = Symbol('demo');

/** The one filling of the demo shop, seen from every empty place. */
export function provideDemo(work: LongWork): void {
  setContext(DEMO, work);
}

export function theDemo(): LongWork {
  return getContext<LongWork>(DEMO);
}
