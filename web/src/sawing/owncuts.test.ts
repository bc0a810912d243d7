import { describe, expect, test } from 'vitest';
import { aJob, aPiece } from '@/jobs/examples';
import { groundsOf, type Ground } from '@/jobs/scene';
import { withPiece } from '@/jobs/want';
import { longOf, ownCutOf, withOwnBlade, withOwnCut, withoutOwnCut } from '@/sawing/owncuts';
import type { OwnCut } from '@/lib/wire/OwnCut';

const [first, second] = groundsOf(aJob(), [aPiece(1, 600, 100), aPiece(2, 400, 100)]) as [Ground, Ground];
const grounds: Ground[] = [first, { ...second, at: [0, -200] }];
const cut: OwnCut = { face: { of: 'piece', id: 1 }, way: [[0, -5], [0, 105]] };

describe('a cut of one’s own', () => {
  test('lies on the face under it, counted as that face counts', () => {
    expect(ownCutOf([[300, 110.04], [300, -12]], grounds)).toEqual({ face: { of: 'piece', id: 1 }, way: [[300, 110], [300, -12]] });
    expect(ownCutOf([[200, -90], [200, -210]], grounds)).toEqual({ face: { of: 'piece', id: 2 }, way: [[200, 110], [200, -10]] });
  });

  test('goes to the face that most of it crosses', () => {
    expect(ownCutOf([[300, 30], [300, -210]], grounds).face).toEqual({ of: 'piece', id: 2 });
  });

  test('needs wood under it, and is told so', () => {
    expect(() => ownCutOf([[900, 10], [900, 50]], grounds)).toThrow(/found none under it/);
  });

  test('is kept behind the others, and taken out alone', () => {
    const two = withOwnCut(withOwnCut(aJob(), cut), { ...cut, way: [[9, 0], [9, 9]] });
    expect(two.choices.own_cuts.map((it) => it.way[0])).toEqual([[0, -5], [9, 0]]);
    expect(withoutOwnCut(two, 0).choices.own_cuts.map((it) => it.way[0])).toEqual([[9, 0]]);
    expect(withoutOwnCut(two, 5).choices.own_cuts).toHaveLength(2);
  });

  test('has the blade that was named, or none', () => {
    const named = withOwnBlade(withOwnCut(aJob(), cut), 0, 3);
    expect(named.choices.own_cuts[0]!.blade).toBe(3);
    expect('blade' in withOwnBlade(named, 0, null).choices.own_cuts[0]!).toBe(false);
  });

  test('goes with its wood, and stays while other wood goes', () => {
    const drawn = withOwnCut(aJob(), cut);
    expect(withPiece(drawn, 1, false).choices.own_cuts).toEqual([]);
    expect(withPiece(drawn, 2, false).choices.own_cuts).toEqual([cut]);
  });

  test('is as long as its stretches', () => {
    expect(longOf([[0, 0], [3, 4], [3, 14]])).toBe(15);
    expect(longOf([])).toBe(0);
  });
});
