import { describe, expect, test } from 'vitest';
import { board } from '@/jobs/examples';
import { at } from '@/jobs/hand/examples';
import { knobOf, turnTo } from '@/jobs/hand/knob';
import { dimensionMark, grainMark, inView } from '@/jobs/hand/spotmark';
import { distance } from '@/lib/geometry';
import { turned } from '@/jobs/pins';

const text = { width: 80, height: 16 };
const numbers = (path: string) => path.match(/-?[\d.]+/g)!.map(Number);

describe('the mark of a breach', () => {
  test('is a dimension whose text stands beyond the second point', () => {
    const mark = dimensionMark([0, 0], [100, 0], text, 2);
    expect(mark.at[0]).toBeGreaterThan(100 + 40 / 2);
    expect(mark.at[1]).toBeCloseTo(0);
    expect(Math.min(...numbers(mark.path))).toBeGreaterThanOrEqual(-5);
  });

  test('has its arrows outside where there is no room between', () => {
    const mark = dimensionMark([0, 0], [2, 0], text, 1);
    expect(Math.min(...numbers(mark.path))).toBeLessThan(-20);
  });

  test('keeps its size on the screen, and stands upright where the points are one', () => {
    const [far, near] = [dimensionMark([0, 0], [0, 0], text, 1), dimensionMark([0, 0], [0, 0], text, 4)];
    expect(far.at[1]).toBeCloseTo(4 * near.at[1]);
    expect(far.at[0]).toBeCloseTo(0);
  });

  test('of a stem shows the grain across it', () => {
    const mark = grainMark({ at: [50, 50], lies: 90, runs: 0, turned: 90 }, text, 1);
    expect(mark.path).toContain('M50 -5');
    expect(mark.at[0]).toBeCloseTo(50);
    expect(mark.at[1]).toBeGreaterThan(95);
  });

  test('stays in view with all of its text', () => {
    const view = { left: 0, bottom: 0, width: 200, height: 100 };
    expect(inView([-30, 50], text, view, 1)).toEqual([40, 50]);
    expect(inView([190, 99], text, view, 2)).toEqual([180, 96]);
    expect(inView([100, 50], text, view, 1)).toEqual([100, 50]);
  });
});

describe('the knob', () => {
  test('stands off the part, as far on the screen at every turn', () => {
    for (const place of [at(0, 0), at(30, 40, 77), at(5, 5, -120, true)]) {
      const { middle, side, knob } = knobOf(place, board, 10);
      expect(distance(side, knob)).toBeCloseTo(17);
      expect(distance(middle, knob)).toBeCloseTo(37);
    }
  });

  test('is brought under the finger', () => {
    const place = at(30, 40, 10);
    const { middle } = knobOf(place, board, 10);
    const turn = turnTo(middle, [middle[0] - 50, middle[1]]);
    expect(turn).toBe(90);
    const { knob } = knobOf(turned(place, board, turn - place.turn), board, 10);
    expect([knob[0] - middle[0], knob[1] - middle[1]]).toEqual([expect.closeTo(-37), expect.closeTo(0)]);
  });
});
