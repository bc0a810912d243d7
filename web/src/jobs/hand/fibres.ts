import { OVERALL, REACH } from '@/board/grainfield';
import type { GrainField } from '@/lib/wire/GrainField';

/** A sample so many reaches away counts for nothing. */
const FAR = 4;
const RADIAN = Math.PI / 180;

/** Which way the fibres run at a place, sample by sample as the shop reads them. */
export class Fibres {
  readonly #count: number;
  /** Samples from left to right. */
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  /** The doubled angle's two parts, as heavy as the sample is sure. */
  readonly #east: Float64Array;
  readonly #north: Float64Array;
  readonly #overall: [east: number, north: number];

  constructor({ overall, samples }: GrainField) {
    const sorted = [...samples].sort((a, b) => a.at[0] - b.at[0]);
    const sure = (it: number) => Math.min(1, Math.max(0, it));
    this.#count = sorted.length;
    this.#x = Float64Array.from(sorted, (it) => it.at[0]);
    this.#y = Float64Array.from(sorted, (it) => it.at[1]);
    this.#east = Float64Array.from(sorted, (it) => sure(it.sure) * Math.cos(2 * it.direction * RADIAN));
    this.#north = Float64Array.from(sorted, (it) => sure(it.sure) * Math.sin(2 * it.direction * RADIAN));
    this.#overall = [OVERALL * Math.cos(2 * overall * RADIAN), OVERALL * Math.sin(2 * overall * RADIAN)];
  }

  /** In degrees; grain runs both ways. */
  at(x: number, y: number): number {
    let [east, north] = this.#overall;
    for (let index = this.#from(x - FAR * REACH); index < this.#count; index++) {
      const across = this.#x[index]! - x;
      if (across > FAR * REACH) break;
      const up = this.#y[index]! - y;
      const square = (across * across + up * up) / (REACH * REACH);
      if (square > FAR * FAR) continue;
      const weight = Math.exp(-square * Math.LN2);
      east += weight * this.#east[index]!;
      north += weight * this.#north[index]!;
    }
    return Math.atan2(north, east) / 2 / RADIAN;
  }

  /** The first sample that is not to the left of here. */
  #from(x: number): number {
    let [low, high] = [0, this.#count];
    while (low < high) {
      const half = (low + high) >> 1;
      if (this.#x[half]! < x) low = half + 1;
      else high = half;
    }
    return low;
  }
}

/** The angle between two lines in degrees, from 0 to 90. */
export function betweenLines(one: number, other: number): number {
  return Math.abs(lineTurn(one, other));
}

/** How far a line turns, in degrees from -90 to 90, to run like another. */
export function lineTurn(from: number, to: number): number {
  const turn = (((to - from) % 180) + 180) % 180;
  return turn > 90 ? turn - 180 : turn;
}
