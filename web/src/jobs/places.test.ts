import { describe, expect, test } from 'vitest';
import { aFinding, aJob, aPiece, aPlacement } from '@/jobs/examples';
import { flagAt, flagsOf, placeOf } from '@/jobs/places';
import { arranged, groundsOf } from '@/jobs/scene';
import { boxAt, distance, overlap } from '@/lib/geometry';
import type { Spot } from '@/lib/wire/Spot';

const job = aJob();
const room = { width: 800, height: 420, narrow: false };
const { grounds } = arranged(groundsOf(job, [aPiece(1, 600, 200), aPiece(2, 600, 200)]), new Set(), room);
const [first, second] = [grounds[0]!, grounds[1]!];
const placements = [
  aPlacement(1, 1, 'piece', 1),
  aPlacement(1, 2, 'piece', 2, { at: [300, 50], turn: 90, mirrored: true }),
];
const place = (spot: Spot) => placeOf(spot, grounds, placements, job);

describe('a finding finds its place', () => {
  test('on a part: its point on the face, and the part lit', () => {
    const lit = place({ on: 'part', part: { want: 1, copy: 1 }, face: { of: 'piece', id: 2 }, at: [30, 40] });
    expect(lit).toEqual({ at: [[second.at[0] + 30, second.at[1] + 40]], parts: ['1.1'], faces: [] });
  });

  test('on a pattern: the same point of every part that is made after it', () => {
    const lit = place({ on: 'pattern', pattern: 7, at: [20, 5] });
    expect(lit.parts).toEqual(['1.1', '1.2']);
    expect(lit.at[0]).toEqual([first.at[0] + 30, first.at[1] + 15]);
    // Mirrored, (20, 5) is (-20, 5); a quarter turn makes it (-5, -20).
    expect(lit.at[1]![0]).toBeCloseTo(second.at[0] + 295);
    expect(lit.at[1]![1]).toBeCloseTo(second.at[1] + 30);
  });

  test('on a piece: the whole face', () => {
    expect(place({ on: 'piece', piece: 2 })).toEqual({ at: [[second.at[0], second.at[1] + 200]], parts: [], faces: ['piece-2'] });
  });

  test('on a part that found no place: where it is pinned, if it is', () => {
    const spot: Spot = { on: 'unplaced', part: { want: 1, copy: 1 } };
    expect(place(spot)).toEqual({ at: [[first.at[0] + 60, first.at[1] + 30]], parts: ['1.1'], faces: [] });
    expect(placeOf(spot, grounds, [], job).at).toEqual([]);
  });

  test('on the job and on wood that is gone: nowhere', () => {
    const spots: Spot[] = [{ on: 'job' }, { on: 'piece', piece: 99 }];
    for (const spot of spots) expect(place(spot)).toEqual({ at: [], parts: [], faces: [] });
  });
});

describe('flags', () => {
  const findings = [{ on: 'piece', piece: 1 }, { on: 'job' }, { on: 'piece', piece: 1 }, { on: 'piece', piece: 1 }] as const;
  const flags = flagsOf(findings.map(aFinding), place, 30);

  test('carry their number in the list and stand side by side', () => {
    expect(flags.map((it) => it.index)).toEqual([0, 2, 3]);
    for (const [index, flag] of flags.entries()) {
      for (const other of flags.slice(index + 1)) expect(distance(flag.at, other.at)).toBeGreaterThan(29);
      expect(flag.of).toEqual(flags[0]!.at);
    }
  });

  test('make way for a name, and know what they mark', () => {
    const [x, y] = flags[0]!.of;
    const name = { left: x - 40, bottom: y - 8, width: 80, height: 16 };
    const [moved] = flagsOf([aFinding({ on: 'piece', piece: 1 })], place, 30, [name]);
    expect(moved!.of).toEqual([x, y]);
    expect(overlap(name, boxAt(moved!.at, { width: 30, height: 30 }))).toBe(false);
  });

  test('the nearest one is touched', () => {
    const [x, y] = flags[1]!.at;
    expect(flagAt(flags, [x + 5, y], 20)?.index).toBe(2);
    expect(flagAt(flags, [x, y + 50], 20)).toBeUndefined();
  });
});
