import { boxAround } from '@/lib/geometry';
import type { FeatureKind } from '@/lib/wire/FeatureKind';
import type { Origin } from '@/lib/wire/Origin';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** A pattern brought to a length over all, its features with it; what is drilled or let in keeps its own size. */
export function scaledTo(pattern: Pattern, length: number): Pattern {
  return scaledBy(pattern, length / boxAround(pattern.outline.outer).width);
}

/** A pattern so many times as large; how smooth a traced line shall be is the blade's matter, and stays. */
export function scaledBy(pattern: Pattern, by: number): Pattern {
  const point = ([x, y]: Point): Point => [x * by, y * by];
  const ring = (it: Ring): Ring => it.map(point);
  return {
    ...pattern,
    origin: scaledOrigin(pattern.origin, point, ring),
    outline: { outer: ring(pattern.outline.outer), openings: pattern.outline.openings.map(ring) },
    features: pattern.features.map((it) => ({ ...it, kind: moved(it.kind, point, ring) })),
  };
}

function scaledOrigin(origin: Origin, point: (at: Point) => Point, ring: (it: Ring) => Ring): Origin {
  if (origin.from !== 'traced' || !origin.line) return origin;
  const { drawn, corners } = origin.line;
  return { ...origin, line: { ...origin.line, drawn: ring(drawn), corners: corners.map(point) } };
}

function moved(kind: FeatureKind, point: (at: Point) => Point, ring: (it: Ring) => Ring): FeatureKind {
  switch (kind.is) {
    case 'stem':
      return { ...kind, axis: { from: point(kind.axis.from), to: point(kind.axis.to) } };
    case 'food_area':
    case 'live_edge':
    case 'hollow':
      return { ...kind, area: ring(kind.area) };
    case 'hanging_hole':
    case 'foot_seat':
    case 'batten':
    case 'handle':
    case 'pocket':
      return { ...kind, at: point(kind.at) };
  }
}
