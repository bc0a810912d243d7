import { boxAround, directionOf, middleOf, placePoint, pointFrom } from '@/lib/geometry';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';

/** From the part's upper side to its knob, in fingers' breadths. */
const AWAY = 1.7;

/** The middle of a part, which it turns about, and the knob that turns it, on the face. */
export function knobOf(place: Place, pattern: Pattern, reach: number): { middle: Point; side: Point; knob: Point } {
  const box = boxAround(pattern.outline.outer);
  const middle = placePoint(place, middleOf(box));
  const side = pointFrom(middle, place.turn + 90, box.height / 2);
  return { middle, side, knob: pointFrom(side, place.turn + 90, AWAY * reach) };
}

/** The turn, in tenths of a degree, that brings a part's knob towards a point. */
export function turnTo(middle: Point, at: Point): number {
  return Math.round((directionOf(middle, at) - 90) * 10) / 10;
}
