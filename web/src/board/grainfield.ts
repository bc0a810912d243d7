import { boxAround, grown } from '@/lib/geometry';
import type { GrainField } from '@/lib/wire/GrainField';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Point } from '@/lib/wire/Point';

/** As the shop reads a field: a sample counts half as much at this distance, in millimetres. */
const REACH = 60;
/** And the overall direction weighs so much against one sure sample close by. */
const OVERALL = 0.02;
/** Nodes of the grid in one reach: the field changes little from one to the next. */
const NODES = 6;
/** Farther than so many reaches a sample counts for nothing. */
const FAR = 3;
/** Samples that weigh less than this together do not tell how the wood runs there. */
const LEAST = 0.25;
const RADIAN = Math.PI / 180;

/** How the fibres run at one place. */
export interface Run {
  /** In radians; grain runs both ways. */
  direction: number;
  /** From 0 to 1: how sure the samples are, and how far they agree. */
  sure: number;
}

/**
 * A field of grain on a grid of nodes, so that asking it costs the same however many samples it
 * has. Doubled angles are added up with weights by nearness, as the shop does; as the weight is a
 * Gaussian, it is spread along the rows first and then along the columns.
 */
export class GridField {
  readonly #left: number;
  readonly #bottom: number;
  readonly #columns: number;
  readonly #rows: number;
  /** East and north of the doubled angle, and what all samples would weigh if each were sure. */
  readonly #sums: [Float64Array, Float64Array, Float64Array];

  static readonly #step = REACH / NODES;

  constructor(field: GrainField) {
    const box = grown(boxAround(field.samples.map((it) => it.at)), REACH);
    [this.#left, this.#bottom] = [box.left, box.bottom];
    this.#columns = Math.ceil(box.width / GridField.#step) + 2;
    this.#rows = Math.ceil(box.height / GridField.#step) + 2;
    const flat = () => new Float64Array(this.#columns * this.#rows);
    this.#sums = [flat(), flat(), flat()];
    for (const sample of field.samples) this.#lay(sample);
    for (const sum of this.#sums) this.#spread(sum);
    const [east, north] = this.#sums;
    const [x, y] = [OVERALL * Math.cos(2 * field.overall * RADIAN), OVERALL * Math.sin(2 * field.overall * RADIAN)];
    for (let at = 0; at < east.length; at++) [east[at], north[at]] = [east[at]! + x, north[at]! + y];
  }

  /** How the wood runs at a place; nothing where no sample is near. */
  at([x, y]: Point): Run | null {
    const [column, row] = [(x - this.#left) / GridField.#step, (y - this.#bottom) / GridField.#step];
    if (!(column >= 0 && row >= 0 && column < this.#columns - 1 && row < this.#rows - 1)) return null;
    const [east, north, weight] = this.#sums.map((sum) => this.#between(sum, column, row)) as [number, number, number];
    if (weight < LEAST) return null;
    return { direction: Math.atan2(north, east) / 2, sure: Math.min(1, Math.hypot(east, north) / weight) };
  }

  /** Shares a sample among the four nodes round it. */
  #lay({ at, direction, sure }: GrainSample): void {
    const [x, y] = [(at[0] - this.#left) / GridField.#step, (at[1] - this.#bottom) / GridField.#step];
    const [column, row] = [Math.floor(x), Math.floor(y)];
    const parts = [sure * Math.cos(2 * direction * RADIAN), sure * Math.sin(2 * direction * RADIAN), 1];
    for (const [dx, dy] of [[0, 0], [1, 0], [0, 1], [1, 1]] as const) {
      const share = (dx ? x - column : 1 - x + column) * (dy ? y - row : 1 - y + row);
      const node = (row + dy) * this.#columns + column + dx;
      parts.forEach((part, index) => (this.#sums[index]![node]! += share * part));
    }
  }

  #spread(sum: Float64Array): void {
    for (let row = 0; row < this.#rows; row++) spreadLine(sum, row * this.#columns, 1, this.#columns);
    for (let column = 0; column < this.#columns; column++) spreadLine(sum, column, this.#columns, this.#rows);
  }

  #between(sum: Float64Array, x: number, y: number): number {
    const [column, row] = [Math.floor(x), Math.floor(y)];
    const [dx, dy] = [x - column, y - row];
    const node = row * this.#columns + column;
    const low = sum[node]! * (1 - dx) + sum[node + 1]! * dx;
    const high = sum[node + this.#columns]! * (1 - dx) + sum[node + this.#columns + 1]! * dx;
    return low * (1 - dy) + high * dy;
  }
}

/** What a sample weighs so many nodes away. */
const weights = Array.from({ length: FAR * NODES + 1 }, (_, away) => Math.exp(-((away / NODES) ** 2) * Math.LN2));

/** Spreads what lies on one line of nodes along it. */
function spreadLine(sum: Float64Array, from: number, step: number, count: number): void {
  const was = Float64Array.from({ length: count }, (_, index) => sum[from + index * step]!);
  for (let index = 0; index < count; index++) {
    let total = 0;
    const [first, last] = [Math.max(0, index - FAR * NODES), Math.min(count - 1, index + FAR * NODES)];
    for (let other = first; other <= last; other++) total += was[other]! * weights[Math.abs(other - index)]!;
    sum[from + index * step] = total;
  }
}
