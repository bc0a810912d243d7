import type { Confidence } from '@/lib/wire/Confidence';

/** How sure a fact is, in words behind its source. */
export const confidenceWords: Record<Confidence, string> = {
  published: 'published',
  second_hand: 'second hand',
  computed: 'computed',
  memory: 'from memory',
  common_practice: 'common practice',
  estimate: 'estimate',
  own: 'the shop’s own',
};
