import type { Outline } from '@/lib/wire/Outline';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** An upright box in millimetres, y up. */
export interface Box {
  left: number;
  bottom: number;
  width: number;
  height: number;
}

const RADIAN = Math.PI / 180;

/** The box around points; an empty one at the origin if there are none. */
export function boxAround(points: readonly Point[]): Box {
  if (!points.length) return { left: 0, bottom: 0, width: 0, height: 0 };
  let [left, bottom, right, top] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const [x, y] of points) {
    left = Math.min(left, x);
    right = Math.max(right, x);
    bottom = Math.min(bottom, y);
    top = Math.max(top, y);
  }
  return { left, bottom, width: right - left, height: top - bottom };
}

export function boxAroundAll(boxes: readonly Box[]): Box {
  return boxAround(boxes.flatMap((it) => [[it.left, it.bottom], [it.left + it.width, it.bottom + it.height]] as Point[]));
}

/** The box grown by this much on every side. */
export function grown(box: Box, by: number): Box {
  return { left: box.left - by, bottom: box.bottom - by, width: box.width + 2 * by, height: box.height + 2 * by };
}

export function middleOf(box: Box): Point {
  return [box.left + box.width / 2, box.bottom + box.height / 2];
}

/** The box of this size around a middle. */
export function boxAt([x, y]: Point, { width, height }: Pick<Box, 'width' | 'height'>): Box {
  return { left: x - width / 2, bottom: y - height / 2, width, height };
}

export function overlap(a: Box, b: Box): boolean {
  const across = a.left < b.left + b.width && b.left < a.left + a.width;
  return across && a.bottom < b.bottom + b.height && b.bottom < a.bottom + a.height;
}

/** Whether a box lies wholly in another. */
export function within(box: Box, other: Box): boolean {
  const across = box.left >= other.left && box.left + box.width <= other.left + other.width;
  return across && box.bottom >= other.bottom && box.bottom + box.height <= other.bottom + other.height;
}

/** Whether a box lies wholly inside an outline, clear of its openings. */
export function holds({ outer, openings }: Outline, box: Box): boolean {
  return contains(outer, middleOf(box)) && !touchesLine(outer, box) && openings.every((it) => clearOfRing(it, box));
}

/** Whether a box neither lies in a ring nor touches its line. */
export function clearOfRing(ring: Ring, box: Box): boolean {
  return !contains(ring, middleOf(box)) && !touchesLine(ring, box);
}

/** Whether any part of a ring's line runs through a box. */
function touchesLine(ring: Ring, box: Box): boolean {
  return ring.some((from, index) => runsThrough(from, ring[(index + 1) % ring.length]!, box));
}

/** Whether a straight line has a point in a box (Liang and Barsky 1984). */
function runsThrough([ax, ay]: Point, [bx, by]: Point, { left, bottom, width, height }: Box): boolean {
  let [enters, leaves] = [0, 1];
  for (const [from, step, low, size] of [[ax, bx - ax, left, width], [ay, by - ay, bottom, height]] as const) {
    if (step === 0) {
      if (from < low || from > low + size) return false;
      continue;
    }
    const [one, two] = [(low - from) / step, (low + size - from) / step];
    enters = Math.max(enters, Math.min(one, two));
    leaves = Math.min(leaves, Math.max(one, two));
  }
  return enters <= leaves;
}

/** Whether a ring lies inside an outline, clear of its openings; what strays less than this far counts as inside. */
export function ringWithin(ring: Ring, { outer, openings }: Outline, stray: number): boolean {
  const deepIn = (around: Ring, at: Point) => contains(around, at) && awayFromRing(at, around) > stray;
  const out = ring.some((at) => !contains(outer, at) && awayFromRing(at, outer) > stray);
  // A notch of the edge or an opening may poke in between the ring's corners.
  const poked = [outer, ...openings].some((edge) => edge.some((at) => deepIn(ring, at)));
  return !out && !poked && !openings.some((it) => ring.some((at) => deepIn(it, at)));
}

/** How far a point lies from a ring's line. */
export function awayFromRing(at: Point, ring: Ring): number {
  return Math.min(...ring.map((from, index) => awayFrom(at, from, ring[(index + 1) % ring.length]!)));
}

/** The area inside a ring, in square millimetres. */
export function areaOf(ring: Ring): number {
  return Math.abs(twiceArea(ring)) / 2;
}

function twiceArea(ring: Ring): number {
  return ring.reduce((sum, [x, y], index) => {
    const [nextX, nextY] = ring[(index + 1) % ring.length]!;
    return sum + x * nextY - nextX * y;
  }, 0);
}

/** The middle of a ring's area. */
export function centroidOf(ring: Ring): Point {
  const twice = twiceArea(ring);
  if (ring.length < 3 || twice === 0) return middleOf(boxAround(ring));
  const [originX, originY] = ring[0]!;
  let [x, y] = [0, 0];
  ring.forEach(([ax, ay], index) => {
    const [bx, by] = ring[(index + 1) % ring.length]!;
    const cross = (ax - originX) * (by - originY) - (bx - originX) * (ay - originY);
    x += (ax + bx - 2 * originX) * cross;
    y += (ay + by - 2 * originY) * cross;
  });
  return [originX + x / (3 * twice), originY + y / (3 * twice)];
}

export function contains(ring: Ring, [x, y]: Point): boolean {
  let inside = false;
  ring.forEach(([ax, ay], index) => {
    const [bx, by] = ring[(index + 1) % ring.length]!;
    if (ay > y !== by > y && ((bx - ax) * (y - ay)) / (by - ay) + ax > x) inside = !inside;
  });
  return inside;
}

export function distance([ax, ay]: Point, [bx, by]: Point): number {
  return Math.hypot(bx - ax, by - ay);
}

/** The direction from one point to another in degrees, counter-clockwise from x. */
export function directionOf([ax, ay]: Point, [bx, by]: Point): number {
  return Math.atan2(by - ay, bx - ax) / RADIAN;
}

/** The point so far from here in a direction. */
export function pointFrom([x, y]: Point, degrees: number, far: number): Point {
  return [x + far * Math.cos(degrees * RADIAN), y + far * Math.sin(degrees * RADIAN)];
}

export function moved(ring: Ring, dx: number, dy: number): Ring {
  return ring.map(([x, y]) => [x + dx, y + dy]);
}

/** A ring brought to a new box: `box` goes to `to`, all corners with it. */
export function fitted(ring: Ring, to: Box): Ring {
  const box = boxAround(ring);
  const [sx, sy] = [box.width ? to.width / box.width : 1, box.height ? to.height / box.height : 1];
  return ring.map(([x, y]) => [to.left + (x - box.left) * sx, to.bottom + (y - box.bottom) * sy]);
}

/** An ellipse as a ring that fills a box. */
export function ovalIn(box: Box, corners = 64): Ring {
  const [x, y] = middleOf(box);
  return Array.from({ length: corners }, (_, index): Point => {
    const turn = (index / corners) * 2 * Math.PI;
    return [x + (box.width / 2) * Math.cos(turn), y + (box.height / 2) * Math.sin(turn)];
  });
}

export function rectangle(box: Box): Ring {
  const [right, top] = [box.left + box.width, box.bottom + box.height];
  return [[box.left, box.bottom], [right, box.bottom], [right, top], [box.left, top]];
}

/** Where a point of a pattern's drawing lies on the face. */
export function placePoint(place: Place, [x, y]: Point): Point {
  const own = place.mirrored ? -x : x;
  const [sin, cos] = [Math.sin(place.turn * RADIAN), Math.cos(place.turn * RADIAN)];
  return [place.at[0] + own * cos - y * sin, place.at[1] + own * sin + y * cos];
}

/** Where a pattern's outline lies on the face. */
export function placeOutline(place: Place, outline: Outline): Outline {
  const ring = (it: Ring): Ring => it.map((point) => placePoint(place, point));
  return { outer: ring(outline.outer), openings: outline.openings.map(ring) };
}

/** A place turned or mirrored about a point that stays where it is. */
export function turnedAbout(place: Place, about: Point, by: number, mirror = false): Place {
  const own = unplacePoint(place, about);
  const next: Place = { at: [0, 0], turn: tidyTurn(place.turn + by), mirrored: place.mirrored !== mirror };
  // Mirroring keeps the drawing's middle where it was, so x changes its sign there.
  const [x, y] = placePoint(next, own);
  return { ...next, at: [about[0] - x, about[1] - y] };
}

/** The point of the drawing that lies at a point of the face. */
export function unplacePoint(place: Place, [x, y]: Point): Point {
  const [dx, dy] = [x - place.at[0], y - place.at[1]];
  const [sin, cos] = [Math.sin(place.turn * RADIAN), Math.cos(place.turn * RADIAN)];
  const own = dx * cos + dy * sin;
  return [place.mirrored ? -own : own, dy * cos - dx * sin];
}

function tidyTurn(degrees: number): number {
  return ((((degrees + 180) % 360) + 360) % 360) - 180;
}

/** A freehand line with only the corners that matter (Douglas and Peucker 1973). */
export function simplified(line: readonly Point[], stray: number): Point[] {
  if (line.length < 3) return [...line];
  const [first, last] = [line[0]!, line.at(-1)!];
  let [far, at] = [0, 0];
  for (let index = 1; index < line.length - 1; index++) {
    const away = awayFrom(line[index]!, first, last);
    if (away > far) [far, at] = [away, index];
  }
  if (far <= stray) return [first, last];
  return [...simplified(line.slice(0, at + 1), stray).slice(0, -1), ...simplified(line.slice(at), stray)];
}

/** How far a point lies from the line between two others. */
export function awayFrom(point: Point, from: Point, to: Point): number {
  return distance(point, footOn(point, from, to));
}

/** The place on the line between two points that is nearest to a third. */
function footOn(point: Point, from: Point, to: Point): Point {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const square = dx * dx + dy * dy;
  if (square === 0) return from;
  const share = Math.min(1, Math.max(0, ((point[0] - from[0]) * dx + (point[1] - from[1]) * dy) / square));
  return [from[0] + share * dx, from[1] + share * dy];
}

/** The place on a closed line that is nearest to a point. */
export function nearestOn(ring: Ring, point: Point): Point {
  const feet = ring.map((from, index) => footOn(point, from, ring[(index + 1) % ring.length]!));
  return feet.reduce((best, it) => (distance(it, point) < distance(best, point) ? it : best));
}
