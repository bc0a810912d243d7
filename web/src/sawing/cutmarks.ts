import { circlePath, headPath, linePath } from '@/lib/draw';
import { boxAt, clearOfRing, distance, overlap, pointFrom, type Box } from '@/lib/geometry';
import { beginOf } from '@/sawing/sequence';
import { Way } from '@/sawing/pose';
import type { CutSheet } from '@/lib/wire/CutSheet';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { SawCut } from '@/lib/wire/SawCut';
import type { SawHole } from '@/lib/wire/SawHole';

/** A cut's number beside its beginning. */
export interface CutNumber {
  /** From 1, as on the sheet. */
  number: number;
  /** Where the cut begins. */
  of: Point;
  /** Where the number stands. */
  at: Point;
}

/** What a number has to keep clear of: lines that it may not touch at all, and boxes that it may not cover. */
export interface Taken {
  rings: readonly Ring[];
  boxes: readonly Box[];
}

/** Numbers stand so many pixels apart, and so far from their cut's beginning. */
export const NUMBER_WIDE = 26;
const AWAY = [24, 38, 56, 80];
/** Straight back first, out of the wood; then more and more to the side. */
const TURNS = [0, 30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180];
/** The arrow's head, in pixels, and where it is on the way. */
const HEAD = 11;
const HEADED = 0.42;
/** The cross in a hole reaches beyond its edge by so much of its radius. */
const CROSS = 1.35;

/** Where each cut's number stands, in its order: clear of parts and of what stands there already, as well as there is room. */
export function cutNumbers(sheet: CutSheet, taken: Taken, scale: number): CutNumber[] {
  const numbers: CutNumber[] = [];
  const side = NUMBER_WIDE / scale;
  const apart = (at: Point) => numbers.every((it) => distance(it.at, at) >= side);
  const free = (at: Point) => {
    const box = boxAt(at, { width: side, height: side });
    return apart(at) && !taken.boxes.some((it) => overlap(it, box)) && taken.rings.every((it) => clearOfRing(it, box));
  };
  sheet.plan.cuts.forEach((cut, index) => {
    const begin = beginOf(cut);
    if (!begin) return;
    const spots = AWAY.flatMap((away) => TURNS.map((turn) => pointFrom(begin.at, begin.heading + 180 + turn, away / scale)));
    numbers.push({ number: index + 1, of: begin.at, at: spots.find(free) ?? spots.find(apart) ?? begin.at });
  });
  return numbers;
}

/** The number under a finger. */
export function numberAt(numbers: readonly CutNumber[], at: Point, reach: number): CutNumber | undefined {
  const [nearest] = [...numbers].sort((a, b) => distance(a.at, at) - distance(b.at, at));
  return nearest && distance(nearest.at, at) < reach ? nearest : undefined;
}

/** The way of the teeth as one path; where the work is turned it is broken. */
export function cutPath({ legs }: SawCut): string {
  return legs.map((it) => (it.is === 'sawn' ? linePath(it.way) : '')).join('');
}

/** An arrow's head on the longest leg: which way the teeth go. */
export function cutArrow({ legs }: SawCut, scale: number): string {
  const ways = legs.flatMap((it) => (it.is === 'sawn' ? [new Way(it.way)] : []));
  const longest = ways.reduce<Way | null>((most, it) => (most && most.long >= it.long ? most : it), null);
  if (!longest) return '';
  const { at, heading } = longest.at(longest.long * HEADED);
  return headPath(at, heading + 180, HEAD / scale);
}

/** A drilled hole: its circle, and its middle lines. */
export function holePaths({ at: [x, y], diameter }: SawHole): { circle: string; cross: string } {
  const out = (CROSS * diameter) / 2;
  const cross = linePath([[x - out, y], [x + out, y]]) + linePath([[x, y - out], [x, y + out]]);
  return { circle: circlePath([x, y], diameter / 2), cross };
}
