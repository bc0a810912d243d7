import { nearestSpot, type Thing } from '@/jobs/hand/apart';
import type { Fibres } from '@/jobs/hand/fibres';
import type { HandPart } from '@/jobs/hand/part';
import type { Posed } from '@/jobs/hand/posed';
import { farthestOff, type Off } from '@/jobs/hand/stem';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Point } from '@/lib/wire/Point';
import type { StripKey } from '@/lib/wire/StripKey';
import type { ZoneRule } from '@/lib/wire/ZoneRule';

/** What a place may miss of a distance, in millimetres, as the shop judges: no saw can tell it. */
export const TOLERANCE = 0.01;
/** And of an angle, in degrees. */
const ANGLE_TOLERANCE = 0.01;

/** What a part comes too near to, or how it lies amiss. */
export type Against =
  | { kind: 'edge' }
  | { kind: 'zone'; zone: ZoneRule }
  | { kind: 'part'; part: PartKey }
  | { kind: 'strip'; strip: StripKey }
  | { kind: 'grain'; off: Off };

/** Why a part may not lie where it is held. */
export interface Breach {
  against: Against;
  /** Millimetres between the two, less than nought where one reaches into the other; or degrees. */
  figure: number;
  /** The least millimetres, or the most degrees. */
  limit: number;
  /** The two nearest points, on the part and on the other. */
  from: Point;
  to: Point;
}

/** A thing on a face, with what it is. */
export interface KnownThing extends Thing {
  against: Exclude<Against, { kind: 'grain' }>;
}

/** A face ready for the hand: all that lies there but the part in hand. */
export interface HandFace {
  things: KnownThing[];
  fibres: Fibres;
}

/** By how much a breach misses its limit; a degree weighs as much as a millimetre (common practice, no source). */
export function missing({ against, figure, limit }: Breach): number {
  return against.kind === 'grain' ? figure - limit : limit - figure;
}

/** Why a part may not lie here, the worst first; nothing where it may. */
export function breachesAt(part: HandPart, face: HandFace, posed: Posed): Breach[] {
  const amiss = [...nearBreaches(face, posed), ...grainBreaches(part, face, posed)];
  return amiss.sort((a, b) => missing(b) - missing(a));
}

/** What the part comes too near to. */
export function nearBreaches(face: HandFace, posed: Posed): Breach[] {
  return face.things.flatMap((it) => nearBreach(it, posed) ?? []);
}

function nearBreach(thing: KnownThing, posed: Posed): Breach | null {
  const { against, clear } = thing;
  const spot = nearestSpot(posed, thing, clear);
  if (!spot || spot.way >= clear - TOLERANCE) return null;
  return { against, figure: spot.way, limit: clear, from: spot.from, to: spot.to };
}

/** Whether the part comes too near to nothing. */
export function liesFree(face: HandFace, posed: Posed): boolean {
  return face.things.every((it) => !nearBreach(it, posed));
}

/** Which of a part's stems turn too far from the grain. */
export function grainBreaches(part: HandPart, face: HandFace, posed: Posed): Breach[] {
  return part.stems.flatMap(({ axis, within }): Breach[] => {
    const off = farthestOff(axis, posed.place, face.fibres);
    if (off.turned <= within + ANGLE_TOLERANCE) return [];
    return [{ against: { kind: 'grain', off }, figure: off.turned, limit: within, from: off.at, to: off.at }];
  });
}
