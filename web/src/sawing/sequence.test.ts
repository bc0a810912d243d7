import { describe, expect, test } from 'vitest';
import { aCut, aFall, aSheet, sawn, someFigures, twoCuts } from '@/sawing/examples';
import { FADES, sawnOf, Sequence } from '@/sawing/sequence';

describe('the sequence of a face', () => {
  const sequence = new Sequence(twoCuts);

  test('is all sawing, with the leading in between and a rest after each cut', () => {
    expect(sequence.count).toBe(2);
    expect(sequence.long).toBe(120 + FADES + 60 + 220 + FADES);
    expect(sequence.beginOf(0)).toBe(0);
    expect(sequence.beginOf(1)).toBe(120 + FADES + 60);
    expect(sequence.beginOf(2)).toBe(sequence.long);
  });

  test('has the teeth at the ends of each leg', () => {
    expect(sequence.at(0)).toEqual({ doing: 'sawn', cut: 0, pose: { at: [200, 110], heading: -90 }, sawn: 0 });
    expect(sequence.at(119.999).pose.at[1]).toBeCloseTo(-10, 2);
    expect(sequence.at(120)).toMatchObject({ doing: 'rest', cut: 0, pose: { at: [200, -10] }, sawn: 120 });
    expect(sequence.at(sequence.beginOf(1))).toMatchObject({ doing: 'sawn', cut: 1, pose: { at: [210, 80], heading: 180 }, sawn: 0 });
    expect(sequence.at(9999)).toMatchObject({ doing: 'rest', cut: 1, pose: { at: [-10, 80] }, sawn: 220 });
  });

  test('leads the work to the next cut without sawing', () => {
    const led = sequence.at(sequence.beginOf(1) - 1);
    expect([led.doing, led.cut, led.sawn]).toEqual(['led', 1, 0]);
  });

  test('opens each slot as far as the teeth have come', () => {
    const [first, second] = sequence.slots;
    expect([sawnOf(first!, -1), sawnOf(first!, 30), sawnOf(first!, 500)]).toEqual([0, 30, 120]);
    expect(sawnOf(second!, sequence.beginOf(1))).toBe(0);
  });

  test('lets waste fall when the teeth have come so far, and not before', () => {
    const [fall] = sequence.falls;
    const moment = sequence.beginOf(1) + 210;
    expect(sequence.leftOf(fall!, moment - 1)).toBe(1);
    expect(sequence.leftOf(fall!, moment + FADES / 2)).toBeCloseTo(0.5);
    expect(sequence.leftOf(fall!, sequence.long)).toBe(0);
  });

  test('of no cuts stands still', () => {
    const none = new Sequence(aSheet());
    expect([none.long, none.count, none.at(5).doing]).toEqual([0, 0, 'rest']);
  });
});

describe('turning in a hole', () => {
  const legs = [sawn([0, 0], [100, 0]), { is: 'turned' as const, about: [90, 0] as [number, number], by: -90 }, sawn([90, -10], [90, -50])];
  const sequence = new Sequence(aSheet([aCut(legs), someFigures([aFall(0, 0, 5, 5, 120)])]));

  test('takes the teeth round its middle, and saws nothing', () => {
    const moment = sequence.at(100 + 45 * 0.42);
    expect([moment.doing, moment.sawn]).toEqual(['turned', 100]);
    expect(moment.pose.heading).toBeCloseTo(-45);
    expect(moment.pose.at[0]).toBeCloseTo(90 + Math.SQRT1_2 * 10);
    expect(moment.pose.at[1]).toBeCloseTo(-Math.SQRT1_2 * 10);
  });

  test('ends where the next leg begins, heading as it does', () => {
    const next = sequence.at(100 + 90 * 0.42).pose;
    expect(next.at[0]).toBeCloseTo(90);
    expect(next.at[1]).toBeCloseTo(-10);
    expect(next.heading).toBe(-90);
  });

  test('counts for no sawing when waste falls', () => {
    expect(sequence.falls[0]!.begin).toBeCloseTo(100 + 90 * 0.42 + 20);
  });
});

test('out of a relief cut the blade is led back the way it came', () => {
  const sequence = new Sequence(aSheet([aCut([sawn([0, 50], [0, 10])], 'relief'), someFigures()]));
  const back = sequence.at(40 + 30);
  expect([back.doing, back.pose.heading]).toEqual(['back', -90]);
  expect(back.pose.at[1]).toBeCloseTo(40);
  expect(back.sawn).toBe(40);
  expect(sequence.at(sequence.long).pose.at[1]).toBeCloseTo(50);
});
