import { showLength, trimmed } from '@/lib/measure';
import type { Blade } from '@/lib/wire/Blade';
import type { Units } from '@/lib/wire/Units';

/** A blade as it is called at the wall: `3/8 in wide, 4 teeth in an inch`. */
export function bladeWords({ width, teeth_per_inch }: Pick<Blade, 'width' | 'teeth_per_inch'>, units: Units): string {
  return `${showLength(width, units)} wide, ${trimmed(teeth_per_inch, 1)} teeth in an inch`;
}
