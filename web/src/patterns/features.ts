import { spotsBeside, spotsInside, type Wish } from '@/board/labels';
import { axisMark, circlePath, linePath, ringPath, seatRing, type Mark } from '@/lib/draw';
import { boxAround, boxAt, middleOf, pointFrom, rectangle, ringWithin, type Box } from '@/lib/geometry';
import { featureWords } from '@/lib/words';
import type { Feature } from '@/lib/wire/Feature';
import type { FeatureKind } from '@/lib/wire/FeatureKind';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** How a feature is drawn on its pattern. */
export function featureMarks(kind: FeatureKind): Mark[] {
  switch (kind.is) {
    case 'stem':
      return [axisMark(kind.axis)];
    case 'food_area':
      return [{ line: 'thin', path: ringPath(kind.area) }];
    case 'live_edge':
      // The drawn outline is not the last word in there.
      return [{ line: 'hidden', path: ringPath(kind.area) }];
    case 'hollow':
      return [{ line: 'thick', path: ringPath(kind.area) }];
    case 'hanging_hole':
      return [{ line: 'thick', path: circlePath(kind.at, kind.diameter / 2) }];
    case 'foot_seat':
    case 'batten':
      // It lies on the underside, so its edges are hidden.
      return [{ line: 'hidden', path: ringPath(seatRing(kind.at, kind.along, kind.length, kind.width)) }];
    case 'handle': {
      const ends = handleEnds(kind);
      const holes = ends.map((at) => circlePath(at, kind.screw / 2)).join('');
      return [{ line: 'thick', path: holes }, { line: 'cut', path: linePath(ends) }];
    }
    case 'pocket':
      return [{ line: 'hidden', path: circlePath(kind.at, kind.diameter / 2) }];
  }
}

/** Where a handle's two screws go through. */
function handleEnds({ at, along, apart }: FeatureKind & { is: 'handle' }): Point[] {
  return [pointFrom(at, along, -apart / 2), pointFrom(at, along, apart / 2)];
}

/** The box around what a feature takes. */
function featureBox(kind: FeatureKind): Box {
  switch (kind.is) {
    case 'stem':
      return boxAround([kind.axis.from, kind.axis.to]);
    case 'food_area':
    case 'live_edge':
    case 'hollow':
      return boxAround(kind.area);
    case 'hanging_hole':
      return boxAt(kind.at, { width: kind.diameter, height: kind.diameter });
    case 'foot_seat':
    case 'batten':
      return boxAround(seatRing(kind.at, kind.along, kind.length, kind.width));
    case 'handle':
      return boxAround(handleEnds(kind));
    case 'pocket':
      return boxAt(kind.at, { width: kind.diameter, height: kind.diameter });
  }
}

export function featureMiddle(kind: FeatureKind): Point {
  return middleOf(featureBox(kind));
}

/** A feature's name: in its area, else beside it. */
export function featureWish(id: number, kind: FeatureKind, always: boolean): Wish {
  return {
    key: `${id}`,
    text: featureWords[kind.is],
    onWood: false,
    always,
    *spots(size) {
      if ('area' in kind) yield* spotsInside({ outer: kind.area, openings: [] }, size);
      yield* spotsBeside(featureBox(kind), size);
    },
  };
}

/** How far inside of the edge a new area begins, or `null` for what is no area. */
export function marginOf(is: FeatureKind['is'], pattern: Pattern): number | null {
  const box = boxAround(pattern.outline.outer);
  const small = Math.min(box.width, box.height);
  if (is === 'food_area') return Math.min(10, small * 0.05);
  return is === 'hollow' ? small * 0.18 : null;
}

/** A first guess of a new feature on a pattern, for the maker to move; an area takes the body that the shop tells. */
export function newFeature(is: FeatureKind['is'], pattern: Pattern, body: Ring): Feature {
  const id = Math.max(0, ...pattern.features.map((it) => it.id)) + 1;
  return { id, kind: firstGuess(is, boxAround(pattern.outline.outer), body) };
}

function firstGuess(is: FeatureKind['is'], box: Box, body: Ring): FeatureKind {
  const [x, y] = middleOf(box);
  const right = box.left + box.width;
  switch (is) {
    case 'stem':
      return { is, axis: { from: [right - box.width / 4, y], to: [right - 6, y] }, within: 10, load: 100 };
    case 'food_area':
      return { is, area: body };
    case 'live_edge':
      return { is, area: rectangle(upperBand(box)) };
    case 'hollow':
      return { is, area: body, depth: 6.35, wall: 60 };
    case 'hanging_hole':
      return { is, at: [right - 19, y], diameter: 12.7 };
    case 'foot_seat':
      return { is, at: [x, y], along: 0, length: 50.8, width: 19.05, height: 12.7 };
    case 'batten':
      return { is, at: [x, y], along: 90, length: box.height * 0.8, width: 25.4, height: 15.875 };
    case 'handle':
      return { is, at: [right - 31.75, y], along: 90, apart: 96, screw: 4 };
    case 'pocket':
      return { is, at: [x, y], diameter: 10, depth: 6.35, holds: 'magnet' };
  }
}

/** The upper fifth of a box and a little past it, so that its line lies inside. */
function upperBand({ left, bottom, width, height }: Box): Box {
  const past = 2;
  return { left: left - past, bottom: bottom + height * 0.8, width: width + 2 * past, height: height * 0.2 + past };
}

/** An area that strays less than this over the edge, in millimetres, was meant to end there. */
const STRAY = 0.3;

/** Whether a marked area reaches out of the shape. */
export function reachesOut(kind: FeatureKind, pattern: Pattern): boolean {
  // A live edge is marked over the outline on purpose.
  return 'area' in kind && kind.is !== 'live_edge' && !ringWithin(kind.area, pattern.outline, STRAY);
}

/** The points of a feature that can be moved one by one. */
export function handlesOf(kind: FeatureKind): Point[] {
  switch (kind.is) {
    case 'stem':
      return [kind.axis.from, kind.axis.to];
    case 'hanging_hole':
    case 'foot_seat':
    case 'batten':
    case 'handle':
    case 'pocket':
      return [kind.at];
    case 'food_area':
    case 'live_edge':
    case 'hollow':
      return [];
  }
}

/** The feature with one of those points elsewhere. */
export function withHandle(kind: FeatureKind, handle: number, at: Point): FeatureKind {
  switch (kind.is) {
    case 'stem':
      return { ...kind, axis: handle === 0 ? { from: at, to: kind.axis.to } : { from: kind.axis.from, to: at } };
    case 'hanging_hole':
    case 'foot_seat':
    case 'batten':
    case 'handle':
    case 'pocket':
      return { ...kind, at };
    case 'food_area':
    case 'live_edge':
    case 'hollow':
      return kind;
  }
}
