import type { Family } from '@/lib/wire/Family';

/** One measure of a family: its key, its word, what it says. */
export interface Measure {
  key: string;
  word: string;
  hint?: string;
}

const length: Measure = { key: 'length', word: 'Length' };
const width: Measure = { key: 'width', word: 'Width' };
const corner: Measure = { key: 'corner', word: 'Corner radius', hint: '0 is square' };

/** The measures of every family, in the order that they are asked. */
export const measures: Record<Family['family'], Measure[]> = {
  round: [{ key: 'diameter', word: 'Diameter' }],
  rectangle: [length, width, corner],
  handled: [
    { ...length, hint: 'Over all, with the handle' },
    width,
    corner,
    { key: 'handle_length', word: 'Handle length' },
    { key: 'handle_width', word: 'Handle width' },
    { key: 'neck', word: 'Neck radius', hint: 'Where the handle meets the board' },
  ],
  long_oval: [length, width],
};

/** Where a family starts: common sizes, in millimetres. */
export const starts: Record<Family['family'], Family> = {
  round: { family: 'round', diameter: 304.8 },
  rectangle: { family: 'rectangle', length: 406.4, width: 254, corner: 25.4 },
  handled: {
    family: 'handled', length: 495.3, width: 203.2, corner: 38.1, handle_length: 127, handle_width: 44.45, neck: 25.4,
  },
  long_oval: { family: 'long_oval', length: 457.2, width: 203.2 },
};

export function measureOf(family: Family, key: string): number {
  return (family as unknown as Record<string, number>)[key] ?? 0;
}

export function withMeasure(family: Family, key: string, mm: number): Family {
  return { ...family, [key]: mm };
}
