import { getContext, setContext } from 'svelte';
import { Trouble } from '@/lib/problem';
import type { System } from '@/lib/wire/System';
import type { Units } from '@/lib/wire/Units';

/** The longest text that is read as a length, in bytes. */
const LONGEST_TEXT = 64;
/** The longest length that is accepted, in millimetres. */
const LONGEST = 30_000;
const INCH = 25.4;

const SIGNS: Record<string, string> = {
  '½': ' 1/2', '¼': ' 1/4', '¾': ' 3/4', '⅛': ' 1/8', '⅜': ' 3/8', '⅝': ' 5/8', '⅞': ' 7/8', '⁄': '/',
  '″': '"', '”': '"', '“': '"', '′': "'", '’': "'", '‘': "'", '\u{a0}': ' ', '\t': ' ', '\n': ' ',
};

const UNITS: [string, number][] = [
  ['millimetres', 1], ['millimeters', 1], ['centimetres', 10], ['centimeters', 10],
  ['inches', INCH], ['metres', 1000], ['meters', 1000], ['inch', INCH], ['feet', 304.8], ['foot', 304.8],
  ['mm', 1], ['cm', 10], ['in', INCH], ['ft', 304.8], ['"', INCH], ["'", 304.8],
];

/** A number or unit found at the start of a text, and the text after it. */
type Taken = [value: number, rest: string];

/**
 * Reads a length as a maker writes it, in millimetres; a bare number is in
 * `bare`'s unit. Throws a `Trouble` that says what was expected. The rules are
 * those of `Length::parse` in the measure crate; `cases/lengths.json` checks both.
 */
export function parseLength(text: string, bare: System): number {
  if (new TextEncoder().encode(text).length > LONGEST_TEXT) throw expected('a text of that size');
  const shown = `\`${text.trim()}\``;
  let rest = [...text].map((it) => SIGNS[it] ?? it.toLowerCase()).join('').trim();
  if (!rest) throw expected('nothing');
  let sum = 0;
  let last = Infinity;
  while (rest) {
    const number = takeNumber(rest);
    const unit = number && takeUnit(number[1], bare, last);
    if (!number || !unit) throw expected(shown);
    sum += number[0] * unit[0];
    last = unit[0];
    rest = unit[1].trimStart();
  }
  if (sum > LONGEST) throw new Trouble({ message: `${shown} is longer than 30 m`, hint: 'check the unit' });
  return sum;
}

function expected(found: string): Trouble {
  const hint = 'write it like 14 1/2, 3/8 in, 368 mm or 36.8 cm';
  return new Trouble({ message: `expected a length, found ${found}`, hint });
}

function takeNumber(text: string): Taken | null {
  const first = takeDecimal(text);
  if (!first) return null;
  const fraction = takeUnder(first[0], first[1]);
  if (fraction) return fraction;
  const gap = first[1].replace(/^[ -]+/, '');
  const over = gap.length < first[1].length ? takeDecimal(gap) : null;
  const part = over && takeUnder(over[0], over[1]);
  return part ? [first[0] + part[0], part[1]] : first;
}

function takeUnder(over: number, rest: string): Taken | null {
  const slash = /^\s*\/\s*/.exec(rest);
  const under = slash && takeDecimal(rest.slice(slash[0].length));
  if (!under || under[0] <= 0 || over % 1 !== 0 || under[0] % 1 !== 0) return null;
  return [over / under[0], under[1]];
}

function takeDecimal(text: string): Taken | null {
  const digits = /^[0-9.,]*/.exec(text)![0];
  const plain = digits.replaceAll(',', '.');
  return /^(\d+\.?\d*|\.\d+)$/.test(plain) ? [Number(plain), text.slice(digits.length)] : null;
}

function takeUnit(text: string, bare: System, last: number): Taken | null {
  const trimmed = text.trimStart();
  const named = UNITS.find(([name]) => trimmed.startsWith(name));
  let mm: number;
  let rest: string;
  if (named) {
    mm = named[1];
    rest = trimmed.slice(named[0].length);
  } else if (!trimmed && last === Infinity) {
    mm = bare === 'inches' ? INCH : 1;
    rest = trimmed;
  } else if (trimmed.startsWith('m')) {
    mm = 1000;
    rest = trimmed.slice(1);
  } else {
    return null;
  }
  const endsWell = /^($|[ .\-0-9])/.test(rest);
  return endsWell && mm < last ? [mm, rest.replace(/^[.-]+/, '')] : null;
}

/** A length as this maker reads it: `14 1/2 in`, or `368 mm`. */
export function showLength(mm: number, units: Units): string {
  if (units.system === 'inches') return `${fraction(mm / INCH, units.fraction)} in`;
  return `${trimmed(mm, Math.abs(mm) < 10 ? 1 : 0)} mm`;
}

/** A length where hundredths count: `0.041 in`, `1.04 mm`. */
export function showFineLength(mm: number, units: Units): string {
  return units.system === 'inches' ? `${trimmed(mm / INCH, 3)} in` : `${trimmed(mm, 2)} mm`;
}

/** An area: square inches or square centimetres. */
export function showArea(mm2: number, units: Units): string {
  return units.system === 'inches' ? `${trimmed(mm2 / 645.16, 1)} sq in` : `${trimmed(mm2 / 100, 1)} cm²`;
}

/** A mass: pounds or kilograms. */
export function showMass(kg: number, units: Units): string {
  return units.system === 'inches' ? `${trimmed(kg / 0.45359237, 2)} lb` : `${trimmed(kg, 2)} kg`;
}

/** A number with at most `places` decimals and no trailing zeros; an exact half goes to the even digit. */
export function trimmed(number: number, places: number): string {
  const exactHalf = Math.abs(number * 2 ** (places + 1)) % 2 === 1;
  const shift = 10 ** places;
  const near = Math.floor(Math.abs(number) * shift);
  const even = (Math.sign(number) * (near % 2 === 0 ? near : near + 1)) / shift;
  const text = (exactHalf ? even : number).toFixed(places);
  const short = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  return short === '-0' ? '0' : short;
}

function fraction(inches: number, fractions: number): string {
  const parts = Math.min(64, Math.max(1, fractions));
  const ticks = Math.round(Math.abs(inches) * parts);
  if (ticks === 0 && inches !== 0) return trimmed(inches, 3);
  const sign = inches < 0 ? '-' : '';
  const whole = Math.floor(ticks / parts);
  let [over, under] = [ticks % parts, parts];
  while (over && over % 2 === 0 && under % 2 === 0) [over, under] = [over / 2, under / 2];
  if (!over) return `${sign}${whole}`;
  return whole ? `${sign}${whole} ${over}/${under}` : `${sign}${over}/${under}`;
}

const UNITS_KEY = Symbol('units');

/** Tells every field below in which units its maker reads. */
export function provideUnits(units: () => Units): void {
  setContext(UNITS_KEY, units);
}

/** The maker's units, as a getter. */
export function makersUnits(): () => Units {
  return getContext<() => Units>(UNITS_KEY);
}
