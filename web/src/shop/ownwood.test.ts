import { expect, test } from 'vitest';
import { keyOf, ownWood, speciesOf } from '@/shop/ownwood';

test('a name becomes a key that can stand in an address', () => {
  expect(keyOf('Plum, old')).toBe('plum_old');
  expect(keyOf('  Grüne Érable 2 ')).toBe('grune_erable_2');
  expect(keyOf('…')).toBe('');
});

test('what is not told stays unknown, and what is told is the shop’s own', () => {
  const row = speciesOf({ ...ownWood, name: 'Plum', density: 790 }, 'My shop');
  expect(row.density).toEqual({ value: 790, source: 'My shop', confidence: 'own' });
  expect(row.shrinkage_radial).toBeNull();
  expect(row.food?.note).toBe('as the shop knows it');
});
