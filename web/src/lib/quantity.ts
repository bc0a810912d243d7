import { Trouble } from '@/lib/problem';
import { trimmed } from '@/lib/measure';
import type { System } from '@/lib/wire/System';

/** A quantity that people type as a plain number in a known unit. */
export type QuantityKind = 'angle' | 'percent' | 'temperature' | 'force' | 'minutes' | 'money' | 'plain' | 'speed' | 'count' | 'density' | 'hours' | 'days' | 'coverage' | 'pressure' | 'spread';

interface Way {
  unit: string;
  places: number;
  /** Out of the wire's unit into the maker's. */
  show: (wire: number) => number;
  /** Back again. */
  read: (shown: number) => number;
}

const same = (unit: string, places: number): Way => ({ unit, places, show: (it) => it, read: (it) => it });
const NEWTON = 4.4482216152605;
const POUND_FOOT3 = 16.018463374;
const PSI = 0.006894757293168;
/** Square metres to a litre, for a square foot to a US quart. */
const FOOT2_QUART = 0.09290304 / 0.946352946;

/** How a maker of this system writes such a quantity. */
export function wayOf(kind: QuantityKind, system: System): Way {
  switch (kind) {
    case 'angle':
      return same('°', 1);
    case 'percent':
      return same('%', 1);
    case 'minutes':
      return same('min', 0);
    case 'money':
      return same('', 2);
    case 'plain':
      return same('', 2);
    case 'count':
      return same('', 0);
    case 'speed':
      return same('ft/min', 0);
    case 'density':
      if (system === 'millimetres') return same('kg/m³', 0);
      return { unit: 'lb/ft³', places: 1, show: (it) => it / POUND_FOOT3, read: (it) => it * POUND_FOOT3 };
    case 'hours':
      return { unit: 'h', places: 1, show: (it) => it / 60, read: (it) => it * 60 };
    case 'days':
      return { unit: 'days', places: 1, show: (it) => it / 1440, read: (it) => it * 1440 };
    case 'spread':
      return same('g/m²', 0);
    case 'coverage':
      if (system === 'millimetres') return same('m²/l', 1);
      return { unit: 'ft²/qt', places: 0, show: (it) => it / FOOT2_QUART, read: (it) => it * FOOT2_QUART };
    case 'pressure':
      if (system === 'millimetres') return same('MPa', 2);
      return { unit: 'psi', places: 0, show: (it) => it / PSI, read: (it) => it * PSI };
    case 'temperature':
      if (system === 'millimetres') return same('°C', 1);
      return { unit: '°F', places: 0, show: (c) => c * 1.8 + 32, read: (f) => (f - 32) / 1.8 };
    case 'force':
      if (system === 'millimetres') return same('N', 0);
      return { unit: 'lbf', places: 1, show: (n) => n / NEWTON, read: (lb) => lb * NEWTON };
  }
}

/** A quantity as the maker reads it, without its unit. */
export function showQuantity(wire: number, way: Way): string {
  return trimmed(way.show(wire), way.places);
}

/** Reads a plain number, comma or point; throws a `Trouble`. */
export function readQuantity(text: string, way: Way): number {
  const plain = text.trim().replace(way.unit, '').trim().replace(',', '.');
  if (!/^-?\d+(\.\d*)?$|^-?\.\d+$/.test(plain)) {
    const unit = way.unit ? ` in ${way.unit}` : '';
    throw new Trouble({ message: `expected a number${unit}, found \`${text.trim()}\``, hint: 'write it like 12 or 7.5' });
  }
  return way.read(Number(plain));
}
