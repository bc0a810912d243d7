import { keyOf } from '@/shop/ownwood';
import type { Glue } from '@/lib/wire/Glue';
import type { OwnRows } from '@/lib/wire/OwnRows';

/** What a bottle or its data sheet tells of a glue. */
export interface OwnGlue {
  name: string;
  open: number | null;
  closed: number | null;
  clamp: number | null;
  machine: number | null;
  full: number | null;
  pressureMedium: number | null;
  pressureDense: number | null;
  coldest: number | null;
  spread: number | null;
  water: string;
  food: string;
  boards: boolean;
  isocyanate: boolean;
  epoxy: boolean;
  source: string;
}

export const ownGlue: OwnGlue = {
  name: '',
  open: null,
  closed: null,
  clamp: null,
  machine: null,
  full: null,
  pressureMedium: null,
  pressureDense: null,
  coldest: null,
  spread: null,
  water: '',
  food: '',
  boards: false,
  isocyanate: false,
  epoxy: false,
  source: '',
};

/** What a litre of wood glue weighs about, grams: water and solids (common practice, no source). */
const GRAMS = 1100;

/** The figures of a glue, none of them missing. */
export type GlueFigures = Pick<
  Glue,
  'open' | 'closed' | 'clamp' | 'machine' | 'full' | 'pressure_medium' | 'pressure_dense' | 'coldest' | 'spread'
>;

/** The row that the shop keeps. */
export function glueOf(it: OwnGlue, figures: GlueFigures): Glue {
  const cautions = ['glue_skin', it.isocyanate && 'isocyanate', it.epoxy && 'epoxy'].filter((one) => one !== false);
  return {
    key: keyOf(it.name),
    name: it.name.trim(),
    ...figures,
    grams_per_litre: GRAMS,
    water: it.water.trim() || 'as its bottle says',
    food: it.food.trim() || 'ask its maker',
    for_boards: it.boards,
    cautions,
    source: it.source.trim() || 'its bottle',
    confidence: 'own',
  };
}

export function withGlue(own: OwnRows, glue: Glue): OwnRows {
  return { ...own, glues: [...withoutGlue(own, glue.key).glues, glue] };
}

export function withoutGlue(own: OwnRows, key: string): OwnRows {
  return { ...own, glues: own.glues.filter((it) => it.key !== key) };
}
