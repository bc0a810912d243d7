import { describe, expect, test } from 'vitest';
import { aPart, aStem, at, box, dice, plain, wavy } from '@/jobs/hand/examples';
import { betweenLines, Fibres } from '@/jobs/hand/fibres';
import { lengthOf } from '@/jobs/hand/part';
import { farthestOff, offGrain, withGrain } from '@/jobs/hand/stem';
import { directionOf, distance, placePoint } from '@/lib/geometry';
import type { GrainField } from '@/lib/wire/GrainField';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';

const RADIAN = Math.PI / 180;
const samples = Array.from({ length: 200 }, (_, index): GrainSample => ({
  at: [(index % 20) * 35, Math.floor(index / 20) * 35],
  direction: 20 * Math.sin(index / 9),
  sure: 0.5 + (index % 5) / 10,
}));
const field: GrainField = { overall: 12, samples };

/** The rule of `GrainField::at` in crates/stock/src/grain.rs, sample by sample. */
function grainAt({ overall, samples }: GrainField, place: Point): number {
  let [east, north] = [0.02 * Math.cos(2 * overall * RADIAN), 0.02 * Math.sin(2 * overall * RADIAN)];
  for (const { at, direction, sure } of samples) {
    const weight = sure * Math.exp(-((distance(place, at) / 60) ** 2) * Math.LN2);
    east += weight * Math.cos(2 * direction * RADIAN);
    north += weight * Math.sin(2 * direction * RADIAN);
  }
  return Math.atan2(north, east) / 2 / RADIAN;
}

test('the fibres run as the shop reads them, near the samples and far from them', () => {
  const [fibres, roll] = [new Fibres(field), dice(4)];
  for (let spot = 0; spot < 300; spot++) {
    const place: Point = [roll() * 1400 - 300, roll() * 900 - 250];
    expect(betweenLines(fibres.at(...place), grainAt(field, place))).toBeLessThan(0.05);
  }
  expect(new Fibres({ overall: 30, samples: [] }).at(5, 5)).toBeCloseTo(30);
});

describe('the length of a shape', () => {
  test('runs along a board, however it was drawn', () => {
    const { from, to } = lengthOf(box(20, 10, 300, 80))!;
    expect(directionOf(from, to)).toBeCloseTo(0);
    expect(distance(from, to)).toBeCloseTo(300);
    const slanted = lengthOf(box(0, 0, 300, 80).map((it) => placePoint(at(7, 9, 33), it)).reverse())!;
    expect(betweenLines(directionOf(slanted.from, slanted.to), 33)).toBeCloseTo(0);
  });

  test('is none of a round board', () => {
    expect(lengthOf(wavy([5, 5], 200, 200, 90, 0))).toBeNull();
  });
});

describe('a part laid with the grain', () => {
  const flowing = new Fibres(field);
  const leaf = aPart(plain(wavy([0, 0], 200, 80, 80, 0)), [aStem([60, 0], [100, 0], 10)]);

  test('has its stem run with the fibres that are under it then', () => {
    for (const place of [at(200, 150, 40), at(400, 200, -80, true), at(300, 100, 179)] as Place[]) {
      const laid = withGrain(leaf, place, flowing);
      expect(Math.abs(offGrain(leaf, laid, flowing)!)).toBeLessThan(0.1);
      expect(laid.mirrored).toBe(place.mirrored);
      expect(Math.abs(((laid.turn - place.turn + 540) % 360) - 180)).toBeLessThanOrEqual(125);
      expect(farthestOff(leaf.stems[0]!.axis, laid, flowing).turned).toBeLessThan(20);
    }
  });

  test('keeps its middle where it is', () => {
    const boardy = aPart(plain(box(0, 0, 100, 40)));
    const laid = withGrain(boardy, at(200, 150, 33), new Fibres({ overall: 10, samples: [] }));
    const middle = (place: Place) => placePoint(place, [50, 20]);
    expect(distance(middle(laid), middle(at(200, 150, 33)))).toBeLessThan(1e-6);
    expect(laid.turn).toBeCloseTo(10);
  });

  test('is left as it is if it is round', () => {
    const round = aPart(plain(wavy([0, 0], 100, 100, 60, 0)));
    const place = at(200, 150, 33);
    expect(withGrain(round, place, flowing)).toBe(place);
  });
});
