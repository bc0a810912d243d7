import type { Lines } from '@/jobs/hand/lines';
import type { HandPart } from '@/jobs/hand/part';
import type { Posed } from '@/jobs/hand/posed';
import { liesFree, TOLERANCE, type HandFace, type KnownThing } from '@/jobs/hand/verdict';
import { finePlace, shifted } from '@/jobs/pins';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';

/** A point that goes along a line turns this little, as a sine, at the most. */
const ALONG = 1e-4;
/** Half the thickness of a line that may be touched, in millimetres. */
const HAIR = 1e-6;

/** From where to where, in millimetres on the way, something is too near. */
interface Stretch {
  from: number;
  to: number;
}

/** A stretch where one corner and one edge are too near. */
interface Span extends Stretch {
  /** Whether it is run into there, and not only left. */
  enters: boolean;
}

/**
 * The place where a part comes to touch, pushed one way (one millimetre long): as far as nothing
 * is in its way, or, from where it may not lie, to the first place where it may. Nothing where
 * there is none.
 */
export function pushed(part: HandPart, face: HandFace, place: Place, way: Point): Place | null {
  const posed = part.at(place);
  const spans = face.things.flatMap((thing) => spansOf(posed, thing, way));
  const at = (far: number) => finePlace(shifted(place, way[0] * far, way[1] * far));
  const isFree = (far: number) => liesFree(face, part.at(at(far)));
  const found = isFree(0) ? firstStop(spans) : firstFree(spans, isFree);
  return found === undefined ? null : at(found);
}

/** Where a part that may lie here would run into something. */
function firstStop(spans: readonly Span[]): number | undefined {
  // What is more behind than ahead is left, not run into.
  const ahead = spans.filter((it) => it.enters && it.from + it.to > -2 * TOLERANCE);
  return ahead.length ? Math.max(0, Math.min(...ahead.map((it) => it.from))) : undefined;
}

/** The first place on the way where a part may lie. */
function firstFree(spans: readonly Span[], isFree: (far: number) => boolean): number | undefined {
  const ends = joined(spans).flatMap((it) => [it.from, it.to]);
  return ends.find((it) => it > 0 && isFree(it));
}

/** Where on its way the part is too near to a thing's lines: each corner of one against the edges of the other. */
function spansOf(part: Posed, { lines, clear, within }: KnownThing, [goX, goY]: Point): Span[] {
  const spans: Span[] = [];
  const meet = (x: number, y: number, way: Point, of: Lines, toLeft: boolean) =>
    of.ahead(x, y, ...way, Math.max(clear, TOLERANCE), (edge) => {
      const span = edgeSpan(x, y, ...way, [of.x[edge]!, of.y[edge]!, of.endX[edge]!, of.endY[edge]!], clear, toLeft);
      if (span) spans.push(span);
    });
  for (let corner = 0; corner < part.x.length; corner++) meet(part.x[corner]!, part.y[corner]!, [goX, goY], lines, !within);
  // The thing comes towards the part, as the part sees it.
  const back: Point = [part.wayOwnX(-goX, -goY), part.wayOwnY(-goX, -goY)];
  for (let corner = 0; corner < lines.count; corner++) {
    const [x, y] = [lines.x[corner]!, lines.y[corner]!];
    meet(part.ownX(x, y), part.ownY(x, y), back, part.lines, true);
  }
  return spans;
}

type Edge = [ax: number, ay: number, bx: number, by: number];

/**
 * Where a point on its way is nearer to an edge than is kept clear; nothing if it only goes
 * alongside. Where the edge may be touched, going over it `toLeft`, or else to the right, enters.
 */
function edgeSpan(x: number, y: number, goX: number, goY: number, edge: Edge, clear: number, toLeft: boolean): Span | null {
  if (clear > 2 * TOLERANCE) return roundedSpan(x, y, goX, goY, edge, clear - TOLERANCE) && roundedSpan(x, y, goX, goY, edge, clear);
  const [ax, ay, bx, by] = edge;
  const long = Math.hypot(bx - ax, by - ay);
  const [alongX, alongY] = [(bx - ax) / long, (by - ay) / long];
  const turn = goY * alongX - goX * alongY;
  if (long === 0 || Math.abs(turn) < ALONG) return null;
  const span = stripSpan(x - ax, y - ay, goX, goY, alongX, alongY, long, Math.max(clear, HAIR));
  return span && { ...span, enters: turn > 0 === toLeft };
}

/** Where a point on its way is in an edge grown by a radius: in the strip along it, or round its ends. */
function roundedSpan(x: number, y: number, goX: number, goY: number, edge: Edge, radius: number): Span | null {
  const [ax, ay, bx, by] = edge;
  const long = Math.hypot(bx - ax, by - ay);
  const ends = [roundSpan(x - ax, y - ay, goX, goY, radius), roundSpan(x - bx, y - by, goX, goY, radius)];
  const spans = [...ends, long > 0 ? stripSpan(x - ax, y - ay, goX, goY, (bx - ax) / long, (by - ay) / long, long, radius) : null];
  const found = spans.filter((it) => it !== null);
  return found.length ? { from: Math.min(...found.map((it) => it.from)), to: Math.max(...found.map((it) => it.to)), enters: true } : null;
}

function roundSpan(x: number, y: number, goX: number, goY: number, radius: number): Stretch | null {
  const middle = -(x * goX + y * goY);
  const half = radius * radius - (x * x + y * y - middle * middle);
  return half > 0 ? { from: middle - Math.sqrt(half), to: middle + Math.sqrt(half) } : null;
}

function stripSpan(x: number, y: number, goX: number, goY: number, alongX: number, alongY: number, long: number, radius: number): Stretch | null {
  const along = within(x * alongX + y * alongY, goX * alongX + goY * alongY, 0, long);
  const across = within(y * alongX - x * alongY, goY * alongX - goX * alongY, -radius, radius);
  if (!along || !across) return null;
  const [from, to] = [Math.max(along.from, across.from), Math.min(along.to, across.to)];
  return from < to ? { from, to } : null;
}

/** When a value that grows evenly lies between two others. */
function within(value: number, growth: number, low: number, high: number): Stretch | null {
  if (Math.abs(growth) < 1e-12) return value > low && value < high ? { from: -Infinity, to: Infinity } : null;
  const [one, two] = [(low - value) / growth, (high - value) / growth];
  return { from: Math.min(one, two), to: Math.max(one, two) };
}

/** Stretches in order, those that meet made one. */
function joined(spans: readonly Span[]): Stretch[] {
  const all: Stretch[] = [];
  for (const { from, to } of [...spans].sort((a, b) => a.from - b.from)) {
    const last = all.at(-1);
    if (last && from <= last.to + 1e-6) last.to = Math.max(last.to, to);
    else all.push({ from, to });
  }
  return all;
}
