import { describe, expect, it } from 'vitest';
import { keepUnchanged } from './unchanged';

const shop = () => ({ version: 1, kit: null, pieces: [{ id: 1, ring: [[0, 0.5], [2, 0]] }, { id: 2, ring: [] }] });

describe('what was read anew', () => {
  it('is what was there before, where nothing was changed', () => {
    const before = shop();
    expect(keepUnchanged(before, shop())).toBe(before);
    expect(keepUnchanged(null, shop())).toEqual(shop());
  });

  it('keeps the things beside the one that was changed', () => {
    const before = shop();
    const now = { ...shop(), version: 2, pieces: shop().pieces.with(0, { id: 1, ring: [[0, 0.5], [3, 0]] }) };
    const [[slab, offcut], [slabBefore, offcutBefore]] = [keepUnchanged(before, now).pieces, before.pieces];
    expect(slab).toEqual(now.pieces[0]);
    expect(slab?.ring[0]).toBe(slabBefore?.ring[0]);
    expect(offcut).toBe(offcutBefore);
  });

  it.each<[string, unknown, unknown]>([
    ['one more', [[1]], [[1], [2]]],
    ['one fewer', [[1], [2]], [[1]]],
    ['a row for a thing', { 0: 1 }, [1]],
    ['nothing for a thing', { a: null }, { a: {} }],
    ['another name', { a: null }, { b: null }],
    ['one name fewer', { a: 1, b: 2 }, { a: 1 }],
    ['nought for nothing', { a: 0 }, { a: null }],
  ])('tells %s', (_, before, now) => {
    expect(keepUnchanged(before, now)).toStrictEqual(now);
  });
});
