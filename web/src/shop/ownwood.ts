import type { Fact } from '@/lib/wire/Fact';
import type { FoodFit } from '@/lib/wire/FoodFit';
import type { Species } from '@/lib/wire/Species';
import type { Texture } from '@/lib/wire/Texture';
import type { WoodKind } from '@/lib/wire/WoodKind';

/** What a maker tells of a wood that is in no table; what is not told stays unknown. */
export interface OwnWood {
  name: string;
  kind: WoodKind;
  texture: Texture;
  food: FoodFit;
  why: string;
  density: number | null;
  radial: number | null;
  tangential: number | null;
}

export const ownWood: OwnWood = {
  name: '',
  kind: 'hardwood',
  texture: 'fine',
  food: 'fair',
  why: '',
  density: null,
  radial: null,
  tangential: null,
};

/** A name as a key: `Plum, old` becomes `plum_old`. */
export function keyOf(name: string): string {
  const plain = name.normalize('NFKD').replace(/[\u0300-\u036f]/g, '').toLowerCase();
  return plain.replace(/[^a-z0-9]+/g, '_').replace(/^_+|_+$/g, '').slice(0, 60);
}

/** The row that the shop keeps. */
export function speciesOf(it: OwnWood, shop: string): Species {
  const own = <T>(value: T, note?: string): Fact<T> => ({ value, source: shop, confidence: 'own', ...(note ? { note } : {}) });
  const told = (value: number | null): Fact<number> | null => (value === null ? null : own(value));
  return {
    key: keyOf(it.name),
    name: it.name.trim(),
    kind: it.kind,
    latin: null,
    pores: null,
    vessels: null,
    texture: own(it.texture),
    specific_gravity: null,
    density: told(it.density),
    specific_gravity_green: null,
    rupture: null,
    rupture_green: null,
    elasticity: null,
    compression_along: null,
    compression_across: null,
    tension_across: null,
    shear: null,
    side_hardness: null,
    shrinkage_radial: told(it.radial),
    shrinkage_tangential: told(it.tangential),
    shrinkage_volumetric: null,
    coefficient_radial: null,
    coefficient_tangential: null,
    fibre_saturation: null,
    ratios: null,
    bonding: null,
    food: own(it.food, it.why.trim() || 'as the shop knows it'),
    dust: null,
    heartwood: null,
    sapwood: null,
  };
}
