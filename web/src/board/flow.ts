import { GridField } from '@/board/grainfield';
import { boxAround, type Box } from '@/lib/geometry';
import type { Face } from '@/lib/wire/Face';
import type { Point } from '@/lib/wire/Point';

/** A line along the fibres. */
export interface FlowLine {
  points: Point[];
  /** Whether the samples along it are sure. */
  sure: boolean;
}

/** Steps of a line, and how near it may come to another, in spacings. */
const STEP = 0.2;
const NEAREST = 0.62;
/** A line begins one spacing beside another, but for what is lost in rounding. */
const SIDE = 0.999;
/** A line shorter than this, in spacings, tells nothing. */
const SHORTEST = 1.5;
/** A field less sure than this is drawn fainter. */
const SURE = 0.5;
/** More steps than this go round in circles. */
const MOST_STEPS = 2000;

/**
 * Lines that follow the grain of a face, so many millimetres apart: each begins beside one that is
 * there and goes on until it comes too near to another, leaves the wood, or nothing is known
 * (Jobard and Lefer, Creating evenly-spaced streamlines of arbitrary density, 1997).
 */
export function flowLines(face: Pick<Face, 'outline' | 'grain'>, spacing: number): FlowLine[] {
  return face.grain.samples.length ? new Tracer(face, spacing).all() : [];
}

interface Placed {
  at: Point;
  /** Which line it is on, and how far along. */
  line: number;
  index: number;
}

class Tracer {
  readonly #field: GridField;
  readonly #wood: Wood;
  readonly #near: (Placed[] | undefined)[] = [];
  readonly #box: Box;
  readonly #columns: number;
  #lines: Point[][] = [];

  constructor(
    private readonly face: Pick<Face, 'outline' | 'grain'>,
    private readonly spacing: number,
  ) {
    this.#field = new GridField(face.grain);
    this.#box = boxAround(face.outline.outer);
    this.#columns = Math.ceil(this.#box.width / spacing) + 3;
    this.#wood = new Wood(face, this.#box, spacing * STEP);
  }

  all(): FlowLine[] {
    const surest = [...this.face.grain.samples].sort((a, b) => b.sure - a.sure);
    for (const { at } of surest) {
      if (!this.#begin(at)) continue;
      // Its neighbours, theirs, and so on: this keeps the spacing even.
      for (let next = this.#lines.length - 1; next < this.#lines.length; next++) this.#beside(this.#lines[next]!);
    }
    return this.#lines.filter((it) => it.length > SHORTEST / STEP).flatMap((it) => this.#bySureness(it));
  }

  /** Begins lines on both sides of one. */
  #beside(line: Point[]): void {
    for (const at of line) {
      const direction = this.#field.at(at)?.direction;
      if (direction === undefined) continue;
      const [x, y] = [-Math.sin(direction) * this.spacing, Math.cos(direction) * this.spacing];
      this.#begin([at[0] + x, at[1] + y]);
      this.#begin([at[0] - x, at[1] - y]);
    }
  }

  #begin(at: Point): boolean {
    const run = this.#wood.holds(at) ? this.#field.at(at) : null;
    if (!run || this.#crowded(at, this.spacing * SIDE, -1, 0)) return false;
    const number = this.#lines.length;
    this.#place({ at, line: number, index: 0 });
    const ahead = this.#trace(at, run.direction, number, 1);
    const behind = this.#trace(at, run.direction + Math.PI, number, -1);
    this.#lines.push([...behind.reverse(), at, ...ahead]);
    return true;
  }

  /** Goes on from a place, by half steps (the midpoint rule); `by` counts the steps up or down. */
  #trace(from: Point, direction: number, line: number, by: number): Point[] {
    const points: Point[] = [];
    const step = this.spacing * STEP;
    let [at, going] = [from, direction];
    for (let index = by; Math.abs(index) < MOST_STEPS; index += by) {
      const half = this.#onward(at, going, step / 2);
      const next = half && this.#onward(at, half.going, step, half.at);
      if (!next || !this.#wood.holds(next.at) || this.#crowded(next.at, this.spacing * NEAREST, line, index)) break;
      [at, going] = [next.at, next.going];
      points.push(at);
      this.#place({ at, line, index });
    }
    return points;
  }

  /** A step along the field as it is at `as`, without turning back. */
  #onward(at: Point, going: number, step: number, as: Point = at): { at: Point; going: number } | null {
    const run = this.#field.at(as);
    if (!run) return null;
    const turned = Math.cos(run.direction - going) < 0 ? run.direction + Math.PI : run.direction;
    return { at: [at[0] + step * Math.cos(turned), at[1] + step * Math.sin(turned)], going: turned };
  }

  /** Whether a place is nearer than this to a line; the line that comes there may be near its own last steps. */
  #crowded([x, y]: Point, near: number, line: number, index: number): boolean {
    const square = this.#square(x, y);
    for (const row of [square - this.#columns, square, square + this.#columns]) {
      for (let there = row - 1; there <= row + 1; there++) {
        for (const it of this.#near[there] ?? []) {
          const last = it.line === line && Math.abs(index - it.index) * STEP < 2;
          if (!last && (it.at[0] - x) ** 2 + (it.at[1] - y) ** 2 < near * near) return true;
        }
      }
    }
    return false;
  }

  #place(it: Placed): void {
    (this.#near[this.#square(...it.at)] ??= []).push(it);
  }

  /** The number of a square as wide as the spacing; a column on each side stays empty. */
  #square(x: number, y: number): number {
    const [column, row] = [Math.floor((x - this.#box.left) / this.spacing), Math.floor((y - this.#box.bottom) / this.spacing)];
    return (row + 1) * this.#columns + column + 1;
  }

  /** A line in parts that are sure and parts that are not. */
  #bySureness(line: Point[]): FlowLine[] {
    const parts: FlowLine[] = [];
    for (const at of line) {
      const sure = (this.#field.at(at)?.sure ?? 0) >= SURE;
      const last = parts.at(-1);
      if (last?.sure === sure) last.points.push(at);
      else parts.push({ points: last ? [last.points.at(-1)!, at] : [at], sure });
    }
    return parts.filter((it) => it.points.length > 1);
  }
}

/** Where there is wood, row by row, so that a line of a thousand corners need not be asked each time. */
class Wood {
  readonly #rows: number[][];

  constructor(
    face: Pick<Face, 'outline'>,
    private readonly box: Box,
    private readonly step: number,
  ) {
    const rings = [face.outline.outer, ...face.outline.openings];
    this.#rows = Array.from({ length: Math.ceil(box.height / step) + 1 }, () => []);
    for (const ring of rings) ring.forEach((from, index) => this.#cross(from, ring[(index + 1) % ring.length]!));
  }

  holds([x, y]: Point): boolean {
    const row = (y - this.box.bottom) / this.step;
    return this.#holdsOn(Math.floor(row), x) && this.#holdsOn(Math.ceil(row), x);
  }

  #holdsOn(row: number, x: number): boolean {
    let within = false;
    for (const it of this.#rows[row] ?? []) if (it < x) within = !within;
    return within;
  }

  /** Notes where a piece of the line crosses rows. */
  #cross([ax, ay]: Point, [bx, by]: Point): void {
    const [low, high] = [Math.min(ay, by), Math.max(ay, by)].map((it) => (it - this.box.bottom) / this.step) as [number, number];
    for (let row = Math.ceil(low); row < high; row++) {
      const y = this.box.bottom + row * this.step;
      this.#rows[row]?.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
    }
  }
}
