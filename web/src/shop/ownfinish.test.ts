import { expect, test } from 'vitest';
import { ownFinish, rowsOf, withFinish, withoutFinish } from '@/shop/ownfinish';
import type { OwnRows } from '@/lib/wire/OwnRows';

const NONE: OwnRows = { species: [], layers: [], finishes: [], glues: [] };
const TIMES = { recoat: 600, handle: 1440, food: 7200, coverage: 12 };

test('a can becomes a layer of the shop’s own and a finish that begins with it', () => {
  const { layer, finish } = rowsOf({ ...ownFinish, name: 'Bench oil', over: 'board_wax' }, TIMES);
  expect([layer.key, layer.food, layer.confidence]).toEqual(['bench_oil', 7200, 'own']);
  expect(layer.cautions).toEqual(['oily_rags', 'solvent']);
  expect(layer.tell).toBeNull();
  expect(rowsOf({ ...ownFinish, name: 'Nut oil', nuts: true }, TIMES).layer.tell).toContain('Nut oil, with nut or seed oil');
  expect(finish.layers).toEqual(['bench_oil', 'board_wax']);
});

test('a finish of the same name is written over, and taking it out leaves nothing', () => {
  const rows = rowsOf({ ...ownFinish, name: 'Bench oil' }, TIMES);
  const own = withFinish(withFinish(NONE, rows), rows);
  expect([own.layers.length, own.finishes.length]).toEqual([1, 1]);
  expect(withoutFinish(own, 'bench_oil')).toEqual(NONE);
});

test('a layer stays while another finish has it', () => {
  const own = withFinish(withFinish(NONE, rowsOf({ ...ownFinish, name: 'Oil' }, TIMES)), rowsOf({ ...ownFinish, name: 'Varnish', over: 'oil' }, TIMES));
  expect(withoutFinish(own, 'oil').layers.map((it) => it.key)).toEqual(['oil', 'varnish']);
});
