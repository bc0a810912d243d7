import { outlineBox } from '@/lib/draw';
import { showLength } from '@/lib/measure';
import type { Piece } from '@/lib/wire/Piece';
import type { Units } from '@/lib/wire/Units';

/** `47 3/4 × 14 × 1 3/4 in`: length, width, thickness. */
export function sizeOf(piece: Pick<Piece, 'face' | 'thickness'>, units: Units): string {
  const { width, height } = outlineBox(piece.face.outline);
  const shown = [width, height, piece.thickness].map((mm) => showLength(mm, units));
  const unit = shown[0]!.split(' ').at(-1)!;
  return `${shown.map((it) => it.slice(0, -unit.length - 1)).join(' × ')} ${unit}`;
}
