import { expect, test } from 'vitest';
import { flowLines } from '@/board/flow';
import { awayFrom, contains, directionOf, distance, rectangle } from '@/lib/geometry';
import type { GrainField } from '@/lib/wire/GrainField';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';

const RADIAN = Math.PI / 180;
const box = { left: 0, bottom: 0, width: 1200, height: 340 };

/** Waves along the slab, and a knot that the fibres go round. */
function direction([x, y]: Point): number {
  const [dx, dy] = [x - 700, y - 170];
  const knot = 40 * Math.exp(-(dx * dx + dy * dy) / 9000) * Math.sign(dx * dy);
  return 12 * Math.sin(x / 130) + knot;
}

function samplesAt(apart: number, sure: (at: Point) => number = () => 0.9): GrainSample[] {
  const [columns, rows] = [Math.floor(box.width / apart), Math.floor(box.height / apart)];
  return Array.from({ length: columns * rows }, (_, index): GrainSample => {
    const at: Point = [(0.5 + (index % columns)) * apart, (0.5 + Math.floor(index / columns)) * apart];
    return { at, direction: direction(at), sure: sure(at) };
  });
}

const faceOf = (samples: GrainSample[], outline: Outline = { outer: rectangle(box), openings: [] }) => ({ outline, grain: { overall: 0, samples } });

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

/** The angle between two lines in degrees. */
function between(a: number, b: number): number {
  const turn = Math.abs(a - b) % 180;
  return Math.min(turn, 180 - turn);
}

test('every line follows the field within four degrees', () => {
  const face = faceOf(samplesAt(20));
  const lines = flowLines(face, 30);
  expect(lines.length).toBeGreaterThan(8);
  const off = lines.flatMap(({ points }) =>
    points.slice(1).map((to, index) => {
      const from = points[index]!;
      return between(directionOf(from, to), grainAt(face.grain, [(from[0] + to[0]) / 2, (from[1] + to[1]) / 2]));
    }),
  );
  expect(Math.max(...off)).toBeLessThan(4);
});

test('no two lines come nearer than half of the spacing, and they leave no wood bare', () => {
  const all = flowLines(faceOf(samplesAt(20)), 30).map((it) => it.points);
  const near = (one: Point[], other: Point[]) =>
    Math.min(...one.map((at) => Math.min(...other.slice(1).map((to, index) => awayFrom(at, other[index]!, to)))));
  const gaps = all.flatMap((one, index) => all.slice(index + 1).map((other) => near(one, other)));
  expect(Math.min(...gaps)).toBeGreaterThan(15);
  const points = all.flat();
  const bare: number[] = [];
  for (let x = 60; x < 1150; x += 60) for (let y = 40; y < 310; y += 45) bare.push(Math.min(...points.map((it) => distance(it, [x, y]))));
  expect(Math.max(...bare)).toBeLessThan(45);
});

test('lines stay on the wood and out of its openings', () => {
  const opening = rectangle({ left: 300, bottom: 100, width: 200, height: 120 });
  const face = faceOf(samplesAt(20), { outer: rectangle(box), openings: [opening] });
  const points = flowLines(face, 24).flatMap((it) => it.points);
  expect(points.filter((it) => !contains(face.outline.outer, it))).toEqual([]);
  const inside = rectangle({ left: 303, bottom: 103, width: 194, height: 114 });
  expect(points.filter((it) => contains(inside, it))).toEqual([]);
});

test('where the samples are unsure the lines are too, and where there are none is none', () => {
  const half = samplesAt(20, ([x]) => (x < 600 ? 0.9 : 0.2)).filter(({ at }) => at[0] < 900);
  const lines = flowLines(faceOf(half), 30);
  for (const { points, sure } of lines) {
    const x = points.map((it) => it[0]);
    if (sure) expect(Math.max(...x)).toBeLessThan(700);
    else expect(Math.min(...x)).toBeGreaterThan(500);
    expect(Math.max(...x)).toBeLessThan(1000);
  }
  expect(new Set(lines.map((it) => it.sure))).toEqual(new Set([true, false]));
  expect(flowLines(faceOf([]), 30)).toEqual([]);
});

test('a face of four thousand samples is drawn in less than 30 ms', () => {
  const face = faceOf(samplesAt(10));
  expect(face.grain.samples.length).toBeGreaterThanOrEqual(4000);
  // The processor's own time: the clock also counts what other programs do meanwhile.
  const times = Array.from({ length: 9 }, () => {
    const start = process.cpuUsage();
    flowLines(face, 30);
    return process.cpuUsage(start).user / 1000;
  });
  expect(Math.min(...times)).toBeLessThan(30);
});
