import { boxAround } from '@/lib/geometry';
import type { FeatureKind } from '@/lib/wire/FeatureKind';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** A pattern brought to a length over all, its features with it; what is drilled or let in keeps its own size. */
export function scaledTo(pattern: Pattern, length: number): Pattern {
  const by = length / boxAround(pattern.outline.outer).width;
  const point = ([x, y]: Point): Point => [x * by, y * by];
  const ring = (it: Ring): Ring => it.map(point);
  return {
    ...pattern,
    outline: { outer: ring(pattern.outline.outer), openings: pattern.outline.openings.map(ring) },
    features: pattern.features.map((it) => ({ ...it, kind: moved(it.kind, point, ring) })),
  };
}

function moved(kind: FeatureKind, point: (at: Point) => Point, ring: (it: Ring) => Ring): FeatureKind {
  switch (kind.is) {
    case 'stem':
      return { ...kind, axis: { from: point(kind.axis.from), to: point(kind.axis.to) } };
    case 'food_area':
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
