import { describe, expect, test } from 'vitest';
import * as g from '@/lib/geometry';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

// An L of 4 by 3 with a 3 by 2 corner missing; area and centroid by hand from its two rectangles.
const ell: Ring = [[0, 0], [4, 0], [4, 1], [1, 1], [1, 3], [0, 3]];
const near = (a: Point, b: Point) => {
  expect(a[0]).toBeCloseTo(b[0], 9);
  expect(a[1]).toBeCloseTo(b[1], 9);
};

describe('rings', () => {
  test('a ring in an L, over its edge, over its missing corner, and over an opening', () => {
    const outline = { outer: ell, openings: [] };
    const box = (left: number, bottom: number, width: number, height: number) => g.rectangle({ left, bottom, width, height });
    expect(g.ringWithin(box(0, 0, 1, 3), outline, 0.1)).toBe(true);
    expect(g.ringWithin(box(0.2, 0.2, 0.6, 2), outline, 0.1)).toBe(true);
    expect(g.ringWithin(box(3, 0.2, 2, 0.5), outline, 0.1)).toBe(false);
    expect(g.ringWithin([[0.1, 2.9], [0.1, 0.1], [3.9, 0.9]], outline, 0.1)).toBe(false);
    expect(g.ringWithin(box(0.2, 0.2, 0.6, 2), { outer: ell, openings: [box(0.4, 1, 0.3, 0.3)] }, 0.1)).toBe(false);
  });

  test('area and middle of an L, by its two rectangles', () => {
    expect(g.areaOf(ell)).toBe(6);
    near(g.centroidOf(ell), [(4 * 2 + 2 * 0.5) / 6, (4 * 0.5 + 2 * 2) / 6]);
    near(g.centroidOf(g.moved(ell, 1000, -500)), [1000 + 1.5, -500 + 1]);
  });

  test('inside and outside of the L', () => {
    expect(g.contains(ell, [0.5, 2])).toBe(true);
    expect(g.contains(ell, [2, 2])).toBe(false);
  });

  test('an oval of many corners comes near to its area, π·a·b', () => {
    const oval = g.ovalIn({ left: 0, bottom: 0, width: 40, height: 20 }, 720);
    expect(g.areaOf(oval)).toBeCloseTo(Math.PI * 20 * 10, 1);
  });

  test('a ring fitted to a box fills it', () => {
    const box = { left: 10, bottom: 20, width: 8, height: 9 };
    expect(g.boxAround(g.fitted(ell, box))).toEqual(box);
  });

  test('a freehand line keeps the corner that matters', () => {
    expect(g.simplified([[0, 0], [5, 0.1], [10, 0], [10, 10]], 0.5)).toEqual([[0, 0], [10, 0], [10, 10]]);
  });
});

describe('places', () => {
  const place: Place = { at: [10, 20], turn: 90, mirrored: false };

  test('turned a quarter, x goes up', () => near(g.placePoint(place, [5, 0]), [10, 25]));
  test('mirrored first, then turned', () => near(g.placePoint({ ...place, mirrored: true }, [5, 0]), [10, 15]));

  test('turning about a point keeps that point', () => {
    const about = g.placePoint(place, [3, 4]);
    near(g.placePoint(g.turnedAbout(place, about, 37), [3, 4]), about);
    near(g.placePoint(g.turnedAbout(place, about, 0, true), [3, 4]), about);
  });
});
