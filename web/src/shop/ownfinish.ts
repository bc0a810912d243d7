import { keyOf } from '@/shop/ownwood';
import type { Finish } from '@/lib/wire/Finish';
import type { Layer } from '@/lib/wire/Layer';
import type { LayerKind } from '@/lib/wire/LayerKind';
import type { OwnRows } from '@/lib/wire/OwnRows';

/** What a can or its data sheet tells of a finish. */
export interface OwnFinish {
  name: string;
  kind: LayerKind;
  coats: number;
  recoat: number | null;
  handle: number | null;
  food: number | null;
  coverage: number | null;
  suits: string;
  care: string;
  /** Months until its owner gives it a new coat. */
  renew: number | null;
  /** Where its times are printed. */
  source: string;
  rags: boolean;
  solvent: boolean;
  nuts: boolean;
  /** The key of a layer over it; empty for none. */
  over: string;
}

/** Begins with the cautions on: they are taken away, not forgotten. */
export const ownFinish: OwnFinish = {
  name: '',
  kind: 'film',
  coats: 3,
  recoat: null,
  handle: null,
  food: null,
  coverage: null,
  suits: '',
  care: '',
  renew: null,
  source: '',
  rags: true,
  solvent: true,
  nuts: false,
  over: '',
};

/** Minutes of hands for a square metre and coat (common practice, no source). */
const HANDS = 30;

/** The times of a finish, none of them missing. */
export type Times = Record<'recoat' | 'handle' | 'food' | 'coverage', number>;

/** The rows that the shop keeps: the layer, and the finish that begins with it. */
export function rowsOf(it: OwnFinish, times: Times): { layer: Layer; finish: Finish } {
  const key = keyOf(it.name);
  const cautions = [it.rags && 'oily_rags', it.solvent && 'solvent', it.nuts && 'nut_oil'].filter((one) => one !== false);
  const layer: Layer = {
    key,
    name: it.name.trim(),
    kind: it.kind,
    coats: it.coats,
    ...times,
    hands: HANDS,
    thinned: null,
    food_note: it.suits.trim() || 'as its can says',
    renew: it.renew,
    tell: it.nuts ? `${it.name.trim()}, with nut or seed oil: it may harm people with nut allergies` : null,
    cautions,
    source: it.source.trim() || 'its can',
    confidence: 'own',
  };
  return { layer, finish: { key, name: layer.name, layers: it.over ? [key, it.over] : [key], care: it.care.trim() } };
}

export function withFinish(own: OwnRows, { layer, finish }: ReturnType<typeof rowsOf>): OwnRows {
  const others = withoutFinish(own, finish.key);
  return { ...others, layers: [...others.layers, layer], finishes: [...others.finishes, finish] };
}

/** Without the finish and the layer of its name; a layer that another finish has stays. */
export function withoutFinish(own: OwnRows, key: string): OwnRows {
  const finishes = own.finishes.filter((it) => it.key !== key);
  const used = finishes.some((it) => it.layers.includes(key));
  return { ...own, finishes, layers: own.layers.filter((it) => it.key !== key || used) };
}
