import type { Family } from '@/lib/wire/Family';
import type { FeatureKind } from '@/lib/wire/FeatureKind';
import type { FinishedFaces } from '@/lib/wire/FinishedFaces';
import type { Form } from '@/lib/wire/Form';
import type { Grade } from '@/lib/wire/Grade';
import type { LetIn } from '@/lib/wire/LetIn';
import type { Machine } from '@/lib/wire/Machine';
import type { OperationKind } from '@/lib/wire/OperationKind';
import type { Saving } from '@/lib/wire/Saving';
import type { SawWish } from '@/lib/wire/SawWish';
import type { ZoneKind } from '@/lib/wire/ZoneKind';

/** A choice in a list: its key and its word. */
export interface Option<T extends string | number = string> {
  key: T;
  word: string;
}

export const zoneWords: Record<ZoneKind, string> = {
  knot: 'Knot', check: 'Check', bark: 'Bark', wane: 'Wane', sapwood: 'Sapwood',
  stain: 'Stain', worm: 'Worm holes', hole: 'Hole', pith: 'Pith',
};

/** As they stand behind a yes: `a knot`, `bark`. */
export const zonePhrases: Record<ZoneKind, string> = {
  knot: 'a knot', check: 'a check', bark: 'bark', wane: 'wane', sapwood: 'sapwood',
  stain: 'a stain', worm: 'worm holes', hole: 'a hole', pith: 'pith',
};

export const finishedWords: Record<FinishedFaces, string> = { both: 'Both', upper: 'The upper one, the underside stays bare' };

export const savingWords: Record<Saving, string> = {
  pieces: 'Later jobs: as few pieces are sawn as can be', leftover: 'The best leftover: the largest clear rectangles',
  grain: 'Looks: grain and colour suit each part best',
};

export const sawWishWords: Record<SawWish, string> = {
  quick: 'The fewest minutes: few cuts, and few changes of the blade', one_blade: 'The fewest changes: one blade for all parts that it can saw',
  smooth: 'The smoothest edge: the widest blade that follows each line',
};

export const formWords: Record<Form, string> = { slab: 'Slab', plank: 'Plank', offcut: 'Offcut' };

export const gradeWords: Record<Grade, string> = { stop: 'Stop', mend: 'Mend', note: 'Note' };

export const familyWords: Record<Family['family'], string> = {
  round: 'Round', rectangle: 'Rectangle', handled: 'With a handle', long_oval: 'Long oval',
};

export const featureWords: Record<FeatureKind['is'], string> = {
  stem: 'Stem or handle', food_area: 'Food area', live_edge: 'Live edge', hollow: 'Hollow', hanging_hole: 'Hanging hole', foot_seat: 'Seat for a foot',
  batten: 'Batten', handle: 'Handle with screws', pocket: 'Pocket for a magnet or insert',
};

export const letInWords: Record<LetIn, string> = { magnet: 'Magnet', threaded_insert: 'Threaded insert' };

export const machineWords: Record<Machine, string> = {
  jointer: 'Jointer', planer: 'Planer', table_saw: 'Table saw', bandsaw: 'Bandsaw',
  drill_press: 'Drill press', router: 'Router', sander: 'Sander',
};

export const kindWords: Record<OperationKind, string> = {
  flatten: 'Flatten', joint: 'Joint', plane: 'Plane', rip: 'Rip', crosscut: 'Crosscut', glue: 'Glue up', saw: 'Saw',
  hollow: 'Hollow', drill: 'Drill', sand: 'Sand', finish: 'Finish', cure: 'Cure', fit: 'Fit',
};

/** The words as a list of choices, in their own order. */
export function optionsOf<T extends string>(words: Record<T, string>): Option<T>[] {
  return (Object.entries(words) as [T, string][]).map(([key, word]) => ({ key, word }));
}

/** `1 part`, `2 parts`. */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** A message as a sentence begins. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
