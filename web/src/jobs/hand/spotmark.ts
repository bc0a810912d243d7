import type { Off } from '@/jobs/hand/stem';
import { grainPath, headPath, linePath } from '@/lib/draw';
import { directionOf, distance, pointFrom, type Box } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** Sizes on the screen, in pixels. */
const LEG = 26;
const HEAD = 8;
const TICK = 9;
/** Points nearer than this have their arrows outside, as ISO 129 has it for small spaces. */
const ROOM = 44;
const GRAIN = 90;
/** From the end of a line to the text's box. */
const GAP = 5;

/** The place of a breach as it is drawn. */
export interface SpotMark {
  /** Thick lines. */
  path: string;
  /** The middle of its text. */
  at: Point;
}

/** The pixels that a text takes. */
interface Size {
  width: number;
  height: number;
}

/** A dimension between the two nearest points, its text beyond the second, off the part. */
export function dimensionMark(from: Point, to: Point, text: Size, scale: number): SpotMark {
  const far = distance(from, to);
  const way = far * scale < 0.01 ? 90 : directionOf(from, to);
  const [leg, head, tick] = [LEG / scale, HEAD / scale, TICK / scale];
  const ticks = [from, to].map((at) => linePath([pointFrom(at, way + 90, tick), pointFrom(at, way - 90, tick)])).join('');
  const out = pointFrom(to, way, leg);
  const at = beyond(out, way, text, scale);
  if (far * scale > ROOM) {
    return { path: ticks + linePath([from, out]) + headPath(from, way, head) + headPath(to, way + 180, head), at };
  }
  const outside = headPath(from, way + 180, head) + headPath(to, way, head);
  return { path: ticks + linePath([pointFrom(from, way, -leg), out]) + outside, at };
}

/** The line of a stem and the grain that it crosses. */
export function grainMark({ at, lies, runs }: Off, text: Size, scale: number): SpotMark {
  const half = GRAIN / 2 / scale;
  const stem = linePath([pointFrom(at, lies, -half), pointFrom(at, lies, half)]);
  return { path: stem + grainPath(at, runs, GRAIN / scale), at: beyond(pointFrom(at, lies, half), lies, text, scale) };
}

/** The middle nearest to where a text would be, so that all of it is seen. */
export function inView([x, y]: Point, { width, height }: Size, view: Box, scale: number): Point {
  const keep = (it: number, from: number, room: number, size: number) => Math.max(from + size / 2, Math.min(it, from + room - size / 2));
  return [keep(x, view.left, view.width, width / scale), keep(y, view.bottom, view.height, height / scale)];
}

/** Where a text's middle is that begins just beyond the end of a line. */
function beyond(end: Point, way: number, { width, height }: Size, scale: number): Point {
  const [dx, dy] = pointFrom([0, 0], way, 1);
  return [end[0] + (dx * (width / 2 + GAP)) / scale, end[1] + (dy * (height / 2 + GAP)) / scale];
}
