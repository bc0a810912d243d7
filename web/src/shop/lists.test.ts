import { expect, test } from 'vitest';
import * as lists from '@/shop/lists';
import type { Person } from '@/lib/wire/Person';

const full = { from: '09:00:00', to: '16:00:00' };
const half = { from: '13:00', to: '17:30' };
const joss: Person = { id: 2, name: 'Joss', week: [null, half, null, half, null, full, null] };

test('a new blade gets a number that none has had', () => {
  const blades = [{ id: 4, width: 6, kerf: 1, teeth_per_inch: 6 }];
  expect(lists.withBlade(blades).map((it) => it.id)).toEqual([4, 5]);
  expect(lists.withBlade([])[0]!.id).toBe(1);
});

test('another day leaves the others as they are', () => {
  const changed = lists.withDay(joss, 0, full);
  expect(changed.week).toEqual([full, half, null, half, null, full, null]);
  expect(joss.week[0]).toBeNull();
});

test('a week is counted in hours', () => {
  expect(lists.weekHours(joss.week)).toBe(4.5 + 4.5 + 7);
});

test('closed days stand in order, each once', () => {
  expect(lists.withDate(['2026-12-25', '2026-01-01'], '2026-12-24')).toEqual(['2026-01-01', '2026-12-24', '2026-12-25']);
  expect(lists.withDate(['2026-12-25'], '2026-12-25')).toEqual(['2026-12-25']);
});
