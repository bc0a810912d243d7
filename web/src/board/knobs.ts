import { distance } from '@/lib/geometry';
import type { Ring } from '@/lib/wire/Ring';

/** Knobs nearer to each other than this, in pixels, would hide the line and what it holds. */
const APART = 18;

/** The corners of a line that have a knob: all of them from near, some where they crowd; the chosen one always. */
export function knobsOf(ring: Ring, scale: number, chosen: number | null): number[] {
  const clear = (index: number, other: number) => distance(ring[index]!, ring[other]!) * scale >= APART;
  const kept = chosen === null || !ring[chosen] ? [] : [chosen];
  ring.forEach((_, index) => {
    if (kept.every((it) => clear(index, it))) kept.push(index);
  });
  return kept.sort((a, b) => a - b);
}
