import { grainPath, outlineBox } from '@/lib/draw';
import { contains, distance, middleOf, pointFrom } from '@/lib/geometry';
import type { Face } from '@/lib/wire/Face';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';

/** Arrows stand this many pixels apart, so that the wood is seen between them. */
const APART = 190;
const LENGTH = 54;
/** Samples less sure than this are not drawn. */
const SURE = 0.5;

/** A few arrows for the grain of a face, beside what is cut from it where there is room. */
export function grainArrows(face: Face, cuts: readonly Outline[], scale: number): string[] {
  const length = LENGTH / scale;
  const kept: Point[] = [];
  const arrows: string[] = [];
  const covered = (at: Point) => cuts.some((it) => contains(it.outer, at));
  const samples = face.grain.samples.filter(({ at, direction, sure }) => {
    const ends = [-0.6, 0.6].map((share) => pointFrom(at, direction, share * length));
    return sure >= SURE && ends.every((it) => contains(face.outline.outer, it));
  });
  for (const { at, direction } of [...samples].sort((a, b) => Number(covered(a.at)) - Number(covered(b.at)))) {
    if (kept.some((it) => distance(it, at) < APART / scale)) continue;
    kept.push(at);
    arrows.push(grainPath(at, direction, length));
  }
  if (arrows.length) return arrows;
  const box = outlineBox(face.outline);
  return [grainPath(middleOf(box), face.grain.overall, Math.min(box.width / 3, 2 * length))];
}
