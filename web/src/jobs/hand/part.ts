import { Lines } from '@/jobs/hand/lines';
import { Posed } from '@/jobs/hand/posed';
import { areaOf, centroidOf } from '@/lib/geometry';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { Segment } from '@/lib/wire/Segment';

/** A shape that is longer than wide by less than this share has no longest direction. */
const ROUND = 0.02;

/** A stem and how far, in degrees, it may turn from the grain. */
export interface Stem {
  axis: Segment;
  within: number;
}

/** A part as the hand lays it: what of it does not change from move to move. */
export class HandPart {
  readonly lines: Lines;
  readonly stems: Stem[];
  /** The line that is to run with the grain: its stem's, or else along its length; nothing for a round one. */
  readonly along: Segment | null;

  constructor(
    readonly key: PartKey,
    readonly pattern: Pattern,
  ) {
    this.lines = new Lines(pattern.outline);
    this.stems = pattern.features.flatMap(({ kind }) => (kind.is === 'stem' ? [{ axis: kind.axis, within: kind.within }] : []));
    this.along = this.stems[0]?.axis ?? lengthOf(pattern.outline.outer);
  }

  at(place: Place): Posed {
    return new Posed(this.lines, place);
  }
}

/**
 * The line through a shape's middle along which it is longest: the main axis of its area's
 * second moments (any textbook of mechanics).
 */
export function lengthOf(ring: Ring): Segment | null {
  const [x, y] = centroidOf(ring);
  const { xx, yy, xy } = moments(ring, [x, y]);
  const spread = Math.hypot(xx - yy, 2 * xy);
  if (spread < ROUND * (xx + yy)) return null;
  const turn = Math.atan2(2 * xy, xx - yy) / 2;
  const half = 0.5 * Math.sqrt((6 * (xx + yy + spread)) / Math.max(areaOf(ring), 1));
  const [dx, dy] = [half * Math.cos(turn), half * Math.sin(turn)];
  return { from: [x - dx, y - dy], to: [x + dx, y + dy] };
}

/** The second moments of a ring's area about a point. */
function moments(ring: Ring, [atX, atY]: Point): { xx: number; yy: number; xy: number } {
  const sum = { xx: 0, yy: 0, xy: 0, twice: 0 };
  ring.forEach(([cornerX, cornerY], index) => {
    const next = ring[(index + 1) % ring.length]!;
    const [ax, ay, bx, by] = [cornerX - atX, cornerY - atY, next[0] - atX, next[1] - atY];
    const cross = ax * by - bx * ay;
    sum.twice += cross;
    sum.xx += (cross * (ax * ax + ax * bx + bx * bx)) / 12;
    sum.yy += (cross * (ay * ay + ay * by + by * by)) / 12;
    sum.xy += (cross * (ax * by + 2 * ax * ay + 2 * bx * by + bx * ay)) / 24;
  });
  const side = Math.sign(sum.twice);
  return { xx: side * sum.xx, yy: side * sum.yy, xy: side * sum.xy };
}
