import { describe, expect, test } from 'vitest';
import { aZoneRule, box } from '@/jobs/hand/examples';
import { toldOf, type Known } from '@/jobs/hand/told';
import { breachesWords, breachFigures, breachWords, type Names } from '@/jobs/hand/words';
import type { Against, Breach } from '@/jobs/hand/verdict';
import type { Units } from '@/lib/wire/Units';

const metric: Units = { system: 'millimetres', fraction: 16 };
const inches: Units = { system: 'inches', fraction: 16 };
const names: Names = { part: (it) => `Leaf board ${it.copy}`, strip: (it) => `strip ${it.strip} of the panel` };
const breach = (against: Against, figure: number, limit: number): Breach => ({ against, figure, limit, from: [0, 0], to: [1, 0] });
const knot: Against = { kind: 'zone', zone: aZoneRule(box(0, 0, 5, 5), 4) };
const edge: Against = { kind: 'edge' };
const grain: Against = { kind: 'grain', off: { at: [0, 0], lies: 14, runs: 0, turned: 14 } };

describe('a breach in words', () => {
  test.each<[Breach, Units, string, string]>([
    [breach(knot, 2.1, 4), metric, '2.1 mm from a knot; 4 mm are kept clear', '2.1 mm of 4 mm'],
    [breach(knot, -6, 4), metric, '6 mm over a knot; 4 mm are kept clear', '6 mm over, 4 mm kept clear'],
    [breach(edge, 2, 4), metric, '2 mm from the edge of the wood; 4 mm are kept clear', '2 mm of 4 mm'],
    [breach(edge, -12, 1), metric, '12 mm past the edge of the wood; 1 mm is kept clear', '12 mm past, 1 mm kept clear'],
    [breach({ kind: 'part', part: { want: 1, copy: 2 } }, 1, 3.1), metric, '1 mm from Leaf board 2; 3.1 mm are kept clear', '1 mm of 3.1 mm'],
    [breach({ kind: 'strip', strip: { panel: 1, strip: 3 } }, -5, 3), metric, '5 mm over strip 3 of the panel; 3 mm are kept clear', '5 mm over, 3 mm kept clear'],
    [breach(grain, 14.04, 10), metric, 'the stem is turned 14° from the grain; 10° is the most', '14°, at most 10°'],
    [breach(knot, 1.6, 3.175), inches, '1/16 in from a knot; 1/8 in is kept clear', '1/16 in of 1/8 in'],
  ])('%#', (it, units, words, figures) => {
    expect(breachWords(it, units, names)).toBe(words);
    expect(breachFigures(it, units)).toBe(figures);
  });

  test('tells figures finer that would read alike', () => {
    expect(breachWords(breach(knot, 2.9, 3.175), inches, names)).toBe('0.114 in from a knot; 0.125 in is kept clear');
    expect(breachWords(breach(knot, 3.17, 3.175), inches, names)).toBe('just under 1/8 in from a knot; 1/8 in is kept clear');
  });

  test('begins with the worst, and counts the others', () => {
    expect(breachesWords([breach(knot, 2.1, 4), breach(edge, 3, 4)], metric, names)).toBe('2.1 mm from a knot; 4 mm are kept clear, and 1 more');
    expect(breachesWords([], metric, names)).toBe('Nothing is in its way here');
  });
});

describe('what is told of a part in hand', () => {
  const known: Known = { remark: '', verdict: null, breaches: [breach(knot, 2.1, 4)], problem: null };
  const told = (it: Partial<Known>) => toldOf({ ...known, ...it }, metric, names);
  const fault = (message: string) => ({ told: { message, hint: null }, parts: [] });

  test('are the page’s words until the shop’s have come', () => {
    expect(told({})).toBe('2.1 mm from a knot; 4 mm are kept clear');
    expect(told({ verdict: { faults: [] } })).toBe('It may lie here');
    expect(told({ verdict: { faults: ['it is too thick', 'b', 'c'].map(fault) } })).toBe('It is too thick. B, and 1 more');
  });

  test('is why nothing is known, if the figures could not be read', () => {
    expect(told({ breaches: null })).toBe('');
    expect(told({ breaches: null, problem: { message: 'the shop does not answer', hint: null } })).toBe('Whether it may lie here is not known: the shop does not answer');
    expect(told({ remark: 'No place that way where it may lie' })).toBe('No place that way where it may lie');
  });
});
