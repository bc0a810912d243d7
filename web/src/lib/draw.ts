import { boxAround, directionOf, pointFrom, type Box } from '@/lib/geometry';
import { showLength } from '@/lib/measure';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { Segment } from '@/lib/wire/Segment';
import type { Units } from '@/lib/wire/Units';

/** The lines that a drawing knows, after ISO 128-2: one class of stroke each. */
export type Line = 'thick' | 'thin' | 'cut' | 'hidden' | 'grain';

/** One mark of a drawing: a path in SVG's own way (y down), with its line and a label. */
export interface Mark {
  line: Line;
  path: string;
  label?: { at: Point; text: string; turn: number };
}

/** A number as it stands in a path: hundredths of a millimetre are enough. */
const short = (it: number): string => String(Math.round(it * 100) / 100 || 0);
const spot = ([x, y]: Point): string => `${short(x)} ${short(-y)}`;

/** Points joined in order, millimetres y up to SVG y down. */
export function linePath(points: readonly Point[]): string {
  return points.length ? `M${points.map(spot).join('L')}` : '';
}

export function ringPath(ring: Ring): string {
  return ring.length ? `${linePath(ring)}Z` : '';
}

/** Outer line and openings as one path, to be filled even-odd. */
export function outlinePath(outline: Outline): string {
  return [outline.outer, ...outline.openings].map(ringPath).join('');
}

export function circlePath([x, y]: Point, radius: number): string {
  const r = short(radius);
  return `M${short(x - radius)} ${short(-y)}a${r} ${r} 0 1 0 ${short(2 * radius)} 0a${r} ${r} 0 1 0 ${short(-2 * radius)} 0Z`;
}

/** A long arrow with a head at both ends: grain runs both ways. */
export function grainPath(at: Point, direction: number, length: number): string {
  const [from, to] = [pointFrom(at, direction, -length / 2), pointFrom(at, direction, length / 2)];
  const head = Math.min(length / 5, 12);
  return linePath([from, to]) + headPath(from, direction, head) + headPath(to, direction + 180, head);
}

/** Two short strokes that meet at a tip and open in a direction. */
export function headPath(tip: Point, opens: number, length: number): string {
  return linePath([pointFrom(tip, opens - 20, length), tip, pointFrom(tip, opens + 20, length)]);
}

/** The middle line of a stem, dash-dot as a centre line is. */
export function axisMark({ from, to }: Segment): Mark {
  const turn = directionOf(from, to);
  return { line: 'cut', path: linePath([pointFrom(from, turn, -6), pointFrom(to, turn, 6)]) };
}

/** A foot's seat as a turned rectangle; it lies on the underside. */
export function seatRing(at: Point, along: number, length: number, width: number): Ring {
  const corner = (dx: number, dy: number) => pointFrom(pointFrom(at, along, (dx * length) / 2), along + 90, (dy * width) / 2);
  return [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
}

/** Overall length and width after ISO 129: extension lines, arrows and figures, `gap` millimetres away. */
export function dimensionMarks(box: Box, units: Units, gap: number): Mark[] {
  const { left, bottom, width, height } = box;
  const [right, top, low, far] = [left + width, bottom + height, bottom - gap, left - gap];
  const head = gap / 3;
  const across = linePath([[left, low], [right, low]]) + headPath([left, low], 0, head) + headPath([right, low], 180, head);
  const up = linePath([[far, bottom], [far, top]]) + headPath([far, bottom], 90, head) + headPath([far, top], 270, head);
  const extensions = [
    linePath([[left, bottom], [left, low - head / 2]]), linePath([[right, bottom], [right, low - head / 2]]),
    linePath([[left, bottom], [far - head / 2, bottom]]), linePath([[left, top], [far - head / 2, top]]),
  ].join('');
  return [
    { line: 'thin', path: extensions },
    { line: 'thin', path: across, label: { at: [left + width / 2, low], text: showLength(width, units), turn: 0 } },
    { line: 'thin', path: up, label: { at: [far, bottom + height / 2], text: showLength(height, units), turn: -90 } },
  ];
}

/** A step between rule marks that a maker knows, at least `least` millimetres: `[small, numbered every n]`. */
export function ruleSteps(least: number, units: Units): { step: number; every: number } {
  const inch = 25.4;
  const inches: [number, number][] = [[1 / 16, 16], [1 / 8, 8], [1 / 4, 4], [1 / 2, 4], [1, 6], [2, 6], [6, 4], [12, 4], [48, 5]];
  const metric: [number, number][] = [[1, 10], [2, 10], [5, 10], [10, 10], [20, 10], [50, 10], [100, 10], [500, 10]];
  const steps = units.system === 'inches' ? inches.map(([step, every]) => [step * inch, every] as const) : metric;
  const [step, every] = steps.find(([step]) => step >= least) ?? steps.at(-1)!;
  return { step, every };
}

/** The box of a whole outline. */
export function outlineBox(outline: Outline): Box {
  return boxAround(outline.outer);
}
