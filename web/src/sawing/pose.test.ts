import { describe, expect, test } from 'vitest';
import { atBlade, between, turnTo, turnedAbout, Way } from '@/sawing/pose';
import type { Point } from '@/lib/wire/Point';

const near = ([x, y]: Point): Point => [Math.round(x * 1000) / 1000 + 0, Math.round(y * 1000) / 1000 + 0];

describe('the work at the blade', () => {
  test('has what lies ahead of the teeth toward the maker, and what lies to the right of them on the column’s side', () => {
    const pose = { at: [50, 20] as Point, heading: 90 };
    expect(near(atBlade(pose, [50, 20]))).toEqual([0, 0]);
    expect(near(atBlade(pose, [50, 30]))).toEqual([0, -10]);
    expect(near(atBlade(pose, [57, 20]))).toEqual([-7, 0]);
  });

  test('turns about the middle of a hole, teeth and heading alike', () => {
    const turned = turnedAbout({ at: [10, 0], heading: 0 }, [0, 0], 90);
    expect([near(turned.at), turned.heading]).toEqual([[0, 10], 90]);
  });

  test('is led the shorter way round', () => {
    expect(turnTo(170, -170)).toBe(20);
    expect(turnTo(-170, 170)).toBe(-20);
    expect(between({ at: [0, 0], heading: 170 }, { at: [10, 0], heading: -170 }, 0.5)).toEqual({ at: [5, 0], heading: 180 });
  });
});

describe('a way', () => {
  const way = new Way([[0, 0], [0, 0], [30, 0], [30, 40]]);

  test('is as long as its stretches, and stands at its ends beyond them', () => {
    expect(way.long).toBe(70);
    expect(way.at(-5)).toEqual({ at: [0, 0], heading: 0 });
    expect(way.at(99)).toEqual({ at: [30, 40], heading: 90 });
  });

  test('heads straight on, and round a corner little by little', () => {
    expect(way.at(20).heading).toBe(0);
    expect(way.at(28).heading).toBeCloseTo(22.5);
    expect(way.at(30).heading).toBeCloseTo(45);
    expect(way.at(32).heading).toBeCloseTo(67.5);
    expect(way.at(36).heading).toBe(90);
  });

  test('of one place has no length', () => {
    expect(new Way([[3, 4]]).at(10)).toEqual({ at: [3, 4], heading: 0 });
  });
});
