import { textSize } from '@/board/textsize.svelte';
import { boxAround, boxAt, centroidOf, distance, holds, middleOf, overlap, type Box } from '@/lib/geometry';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';

export interface Size {
  width: number;
  height: number;
}

/** A name that would stand on the drawing if there is room. */
export interface Wish {
  key: string;
  text: string;
  /** Told instead where the text has no room. */
  brief?: string;
  /** Whether wood lies behind it. */
  onWood: boolean;
  /** Where its middle may be, best first; the size is in millimetres. */
  spots: (size: Size) => Iterable<Point>;
  /** Stands at its first spot even where it covers others. */
  always?: boolean;
  /** Pixels kept free to its left, for a sign. */
  sign?: number;
}

/** A name with its place, in millimetres of the drawing. */
export interface Placed {
  key: string;
  text: string;
  onWood: boolean;
  /** The text's middle. */
  at: Point;
  /** The text and its sign. */
  box: Box;
}

/** Names in order of their weight: each takes the first of its spots that no earlier one covers, or stays away. */
export function placeLabels(wishes: readonly Wish[], taken: readonly Box[], scale: number): Placed[] {
  const placed: Placed[] = [];
  const free = (box: Box) => ![...taken, ...placed.map((it) => it.box)].some((it) => overlap(it, box));
  for (const wish of wishes) {
    const whole = placedAs(wish, wish.text, scale, free);
    const label = whole ?? (wish.brief && placedAs(wish, wish.brief, scale, free));
    if (label) placed.push(label);
  }
  return placed;
}

function placedAs(wish: Wish, text: string, scale: number, free: (box: Box) => boolean): Placed | undefined {
  const sign = (wish.sign ?? 0) / scale;
  const { width, height } = textSize(text);
  const box = firstFree(wish, { width: width / scale + sign, height: height / scale }, free);
  if (!box) return undefined;
  const [x, y] = middleOf(box);
  return { key: wish.key, text, onWood: wish.onWood, at: [x + sign / 2, y], box };
}

function firstFree(wish: Wish, size: Size, free: (box: Box) => boolean): Box | undefined {
  let first: Box | undefined;
  for (const spot of wish.spots(size)) {
    const box = boxAt(spot, size);
    if (free(box)) return box;
    first ??= box;
  }
  return wish.always ? first : undefined;
}

/** Rows and columns of spots that are tried inside a shape. */
const TRIED = 15;

/** Spots where a box of this size lies wholly in a shape: its middle first, then farther and farther away. */
export function* spotsInside(outline: Outline, size: Size): Generator<Point> {
  const box = boxAround(outline.outer);
  const [spareX, spareY] = [box.width - size.width, box.height - size.height];
  if (spareX < 0 || spareY < 0) return;
  const middle = centroidOf(outline.outer);
  const at = (from: number, size: number, spare: number, index: number) => from + size / 2 + (spare * (index + 0.5)) / TRIED;
  const grid = Array.from({ length: TRIED * TRIED }, (_, index): Point => [
    at(box.left, size.width, spareX, index % TRIED),
    at(box.bottom, size.height, spareY, Math.floor(index / TRIED)),
  ]);
  grid.sort((a, b) => distance(a, middle) - distance(b, middle));
  for (const spot of [middle, ...grid]) if (holds(outline, boxAt(spot, size))) yield spot;
}

/** Spots just outside a box: below, above, right and left of it. */
export function spotsBeside(box: Box, size: Size): Point[] {
  const [x, y] = middleOf(box);
  const gap = size.height * 0.12;
  const [across, up] = [(box.width + size.width) / 2 + gap, (box.height + size.height) / 2 + gap];
  return [[x, y - up], [x, y + up], [x + across, y], [x - across, y]];
}

/** Spots under a box, in line with its left or its right side, and then above it. */
export function spotsUnder({ left, bottom, width, height }: Box, size: Size): Point[] {
  const [start, end] = [left + size.width / 2, left + width - size.width / 2];
  const [under, over] = [bottom - size.height * 0.7, bottom + height + size.height * 0.7];
  return [[start, under], [end, under], [start, over], [end, over]];
}
