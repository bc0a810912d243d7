import { directionOf, distance } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** How the blade stands in the work: where its teeth are on the face, and where they head, in degrees counter-clockwise from x. */
export interface Pose {
  at: Point;
  heading: number;
}

/** Over so many millimetres beside a corner of its way the work is turned, not at one stroke. */
const EASED = 4;
const RADIAN = Math.PI / 180;

/** By how much a heading turns to another, counter-clockwise, from -180 up to 180 degrees. */
export function turnTo(from: number, to: number): number {
  const turn = (((to - from) % 360) + 360) % 360;
  return turn > 180 ? turn - 360 : turn;
}

function turnedBy([x, y]: Point, [aboutX, aboutY]: Point, degrees: number): Point {
  const [sin, cos] = [Math.sin(degrees * RADIAN), Math.cos(degrees * RADIAN)];
  const [dx, dy] = [x - aboutX, y - aboutY];
  return [aboutX + dx * cos - dy * sin, aboutY + dx * sin + dy * cos];
}

/** A share of the way from one stance to another. */
export function between(from: Pose, to: Pose, share: number): Pose {
  const at: Point = [from.at[0] + (to.at[0] - from.at[0]) * share, from.at[1] + (to.at[1] - from.at[1]) * share];
  return { at, heading: from.heading + turnTo(from.heading, to.heading) * share };
}

/** A stance turned about a point of the face. */
export function turnedAbout(pose: Pose, about: Point, degrees: number): Pose {
  return { at: turnedBy(pose.at, about, degrees), heading: pose.heading + degrees };
}

/** Where a point of the face lies at the saw: the teeth are the origin, y runs away from the maker, and the column is at the left. */
export function atBlade({ at, heading }: Pose, [x, y]: Point): Point {
  const [sin, cos] = [Math.sin(heading * RADIAN), Math.cos(heading * RADIAN)];
  const [dx, dy] = [x - at[0], y - at[1]];
  return [dy * cos - dx * sin, -(dx * cos + dy * sin)];
}

/** The same for a whole drawing of the face, as SVG carries it (y down). */
export function carryToBlade({ at, heading }: Pose): string {
  return `rotate(${90 + heading}) translate(${-at[0]} ${at[1]})`;
}

/** A way from point to point, measured once. */
export class Way {
  readonly long: number;
  /** How far each point is along it. */
  readonly #far: number[] = [0];
  readonly #points: Point[];
  readonly #directions: number[] = [];

  constructor(points: readonly Point[]) {
    this.#points = points.filter((it, index) => index === 0 || distance(it, points[index - 1]!) > 0);
    this.#points.slice(1).forEach((it, index) => {
      const before = this.#points[index]!;
      this.#far.push(this.#far[index]! + distance(before, it));
      this.#directions.push(directionOf(before, it));
    });
    this.long = this.#far.at(-1)!;
  }

  /** How the blade stands so far along the way; it is eased round corners. */
  at(far: number): Pose {
    const [first] = this.#points;
    if (!this.#directions.length) return { at: first ?? [0, 0], heading: 0 };
    const within = Math.min(Math.max(far, 0), this.long);
    const index = this.#segmentAt(within);
    const [from, to] = [this.#points[index]!, this.#points[index + 1]!];
    const [begin, end] = [this.#far[index]!, this.#far[index + 1]!];
    const share = (within - begin) / (end - begin);
    const at: Point = [from[0] + (to[0] - from[0]) * share, from[1] + (to[1] - from[1]) * share];
    return { at, heading: this.#headingAt(index, within - begin, end - within) };
  }

  #segmentAt(far: number): number {
    let [low, high] = [0, this.#directions.length - 1];
    while (low < high) {
      const middle = Math.ceil((low + high) / 2);
      if (this.#far[middle]! <= far) low = middle;
      else high = middle - 1;
    }
    return low;
  }

  /** At a corner the heading is the middle of both; it comes there over a short piece of either side. */
  #headingAt(index: number, fromBegin: number, toEnd: number): number {
    const own = this.#directions[index]!;
    const eased = Math.min(EASED, (fromBegin + toEnd) / 2);
    const [before, after] = [this.#directions[index - 1], this.#directions[index + 1]];
    if (before !== undefined && fromBegin < eased) return own - (turnTo(before, own) / 2) * (1 - fromBegin / eased);
    if (after !== undefined && toEnd < eased) return own + (turnTo(own, after) / 2) * (1 - toEnd / eased);
    return own;
  }
}
