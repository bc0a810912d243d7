import { betweenLines, lineTurn, type Fibres } from '@/jobs/hand/fibres';
import type { HandPart } from '@/jobs/hand/part';
import { turned } from '@/jobs/pins';
import { directionOf, distance, placePoint } from '@/lib/geometry';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';
import type { Segment } from '@/lib/wire/Segment';

/** The grain is looked up this often along a line, in millimetres, as the shop does. */
const STEP = 4;
/** A part that is turned by hand and so near to the grain, in degrees, is meant to run with it. */
const NEARLY = 3;
/** A part turned so little more, in degrees, lies no better. */
const ENOUGH = 0.05;
/** The grain under a part changes as it turns; after so many times it is found or never. */
const TURNS = 12;

/** Where a line is turned farthest from the grain. */
export interface Off {
  at: Point;
  /** By how much, in degrees. */
  turned: number;
  /** The line's own direction, and the grain's. */
  lies: number;
  runs: number;
}

/** A line of a part's drawing where it lies, and the places on it at which the grain is asked. */
function laid(axis: Segment, place: Place): { lies: number; places: Point[] } {
  const [from, to] = [placePoint(place, axis.from), placePoint(place, axis.to)];
  const steps = Math.max(1, Math.ceil(distance(from, to) / STEP));
  const places = Array.from({ length: steps + 1 }, (_, step): Point => {
    const share = step / steps;
    return [from[0] + share * (to[0] - from[0]), from[1] + share * (to[1] - from[1])];
  });
  return { lies: directionOf(from, to), places };
}

export function farthestOff(axis: Segment, place: Place, fibres: Fibres): Off {
  const { lies, places } = laid(axis, place);
  const all = places.map((at): Off => {
    const runs = fibres.at(...at);
    return { at, lies, runs, turned: betweenLines(lies, runs) };
  });
  return all.reduce((worst, it) => (it.turned > worst.turned ? it : worst));
}

/** How far the part's line has still to turn, in degrees, to run with the grain under it; nothing for a round one. */
export function offGrain(part: HandPart, place: Place, fibres: Fibres): number | null {
  if (!part.along) return null;
  const { lies, places } = laid(part.along, place);
  // Doubled angles, as grain runs both ways.
  const doubled = places.map((at) => (2 * fibres.at(...at) * Math.PI) / 180);
  const sum = (part: (angle: number) => number) => doubled.reduce((all, it) => all + part(it), 0);
  return lineTurn(lies, (Math.atan2(sum(Math.sin), sum(Math.cos)) * 90) / Math.PI);
}

/** The part turned so that its line runs with the grain, if it nearly does. */
export function heldToGrain(part: HandPart, place: Place, fibres: Fibres): Place {
  const by = offGrain(part, place, fibres);
  return by !== null && Math.abs(by) <= NEARLY ? withGrain(part, place, fibres) : place;
}

/** The part turned about its middle so that its line runs with the grain that is then under it. */
export function withGrain(part: HandPart, place: Place, fibres: Fibres): Place {
  let now = place;
  for (let turn = 0; turn < TURNS; turn++) {
    const by = offGrain(part, now, fibres);
    if (by === null || Math.abs(by) < ENOUGH) break;
    now = turned(now, part.pattern, by);
  }
  return now === place ? place : turned(now, part.pattern, Math.round(now.turn * 10) / 10 - now.turn);
}
