import { grainPath, outlineBox } from '@/lib/draw';
import { contains, distance, middleOf, pointFrom, type Box } from '@/lib/geometry';
import type { Face } from '@/lib/wire/Face';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';

/** An arrow's length in pixels. */
const LENGTH = 46;
/** Samples less sure than this are not drawn. */
const SURE = 0.5;
/** Samples as sure as this were drawn by hand. */
const BY_HAND = 1;
/** Arrows on a face that is shown whole. */
const MOST = 30;
/** But never closer than this in pixels. */
const CLOSEST = 90;

/** With fewer samples than this a field has no flow to show. */
const FLOW = 8;

/** Whether a photograph told how the fibres run from place to place. */
export function flows(face: Face): boolean {
  return face.picture !== null && face.grain.samples.length >= FLOW;
}

/** How far apart arrows stand, in pixels, so that some thirty are seen; `whole` is the scale that shows all of the face. */
export function arrowsApart(box: Box, whole: number): number {
  return Math.max(CLOSEST, Math.sqrt((box.width * box.height) / MOST) * whole);
}

/** What of a face's grain is drawn: one sample in each square of a grid, beside zones and what is cut out where there is room. */
export function grainArrows(face: Face, scale: number, apart: number, cuts: readonly Outline[] = []): string[] {
  const length = LENGTH / scale;
  const sure = face.grain.samples.filter((it) => it.sure >= SURE && onWood(it, face, length));
  const rings = [...cuts.map((it) => it.outer), ...face.zones.map((it) => it.area)];
  const covered = ({ at, direction }: GrainSample) =>
    [-0.6, -0.3, 0, 0.3, 0.6].some((share) => rings.some((it) => contains(it, pointFrom(at, direction, share * length))));
  const arrows = inSquares(sure, outlineBox(face.outline), apart / scale, covered).map((it) => grainPath(it.at, it.direction, length));
  return arrows.length ? arrows : [overallArrow(face, length)];
}

/** Every sample that was drawn by hand, or all that are sure; for the one who draws them. */
export function everyArrow(face: Face, scale: number, byHand: boolean): string[] {
  const shown = face.grain.samples.filter((it) => it.sure >= (byHand ? BY_HAND : SURE));
  return shown.map((it) => grainPath(it.at, it.direction, LENGTH / scale));
}

/** How the face runs where nothing else is known. */
function overallArrow(face: Face, length: number): string {
  const box = outlineBox(face.outline);
  return grainPath(middleOf(box), face.grain.overall, Math.min(box.width / 3, 4 * length));
}

/** Whether an arrow's ends lie on the wood. */
function onWood({ at, direction }: GrainSample, face: Face, length: number): boolean {
  return [-0.6, 0.6].every((share) => contains(face.outline.outer, pointFrom(at, direction, share * length)));
}

/** In each square of a grid the sample that tells most: on bare wood, drawn by hand, near the middle. */
function inSquares(samples: readonly GrainSample[], box: Box, wanted: number, covered: (sample: GrainSample) => boolean): GrainSample[] {
  const side = (whole: number) => whole / Math.max(1, Math.round(whole / wanted));
  const [across, up] = [side(box.width), side(box.height)];
  const best = new Map<string, { sample: GrainSample; rank: number }>();
  for (const sample of samples) {
    const [column, row] = [Math.floor((sample.at[0] - box.left) / across), Math.floor((sample.at[1] - box.bottom) / up)];
    const middle: Point = [box.left + (column + 0.5) * across, box.bottom + (row + 0.5) * up];
    const rank = distance(sample.at, middle) + (covered(sample) ? 4 : 0) * wanted + (sample.sure < BY_HAND ? 2 : 0) * wanted;
    const key = `${column} ${row}`;
    if (rank < (best.get(key)?.rank ?? Infinity)) best.set(key, { sample, rank });
  }
  return [...best.values()].map((it) => it.sample);
}
