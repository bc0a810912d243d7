import type { IconName } from '@/ui/Icon.svelte';

/** A place of the page: its address, its word and its sign. */
export interface PlaceName {
  key: string;
  word: string;
  icon: IconName;
}

export const places: PlaceName[] = [
  { key: 'rack', word: 'Rack', icon: 'rack' },
  { key: 'patterns', word: 'Patterns', icon: 'patterns' },
  { key: 'jobs', word: 'Jobs', icon: 'jobs' },
  { key: 'bench', word: 'Bench', icon: 'bench' },
  { key: 'shop', word: 'Shop', icon: 'shop' },
];
