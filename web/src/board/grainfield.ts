import { boxAround, grown } from '@/lib/geometry';
import type { GrainField } from '@/lib/wire/GrainField';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Point } from '@/lib/wire/Point';

/** As the shop reads a field: a sample counts half as much at this distance, in millimetres. */
export const REACH = 60;
/** And the overall direction weighs so much against one sure sample close by. */
export const OVERALL = 0.02;
/** Nodes of the grid in one reach: the field changes little from one to the next. */
const NODES = 4;
/** Farther than so many reaches a sample counts for nothing. */
const FAR = 3;
/** Samples that weigh less than this together do not tell how the wood runs there. */
const LEAST = 0.25;
/** The nodes round a place. */
const CORNERS = [[0, 0], [1, 0], [0, 1], [1, 1]] as const;
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
  /** The doubled angle's two parts. */
  readonly #east: Float64Array;
  readonly #north: Float64Array;
  /** What all samples would weigh if each were sure. */
  readonly #weight: Float64Array;

  static readonly #step = REACH / NODES;

  constructor(field: GrainField) {
    const box = grown(boxAround(field.samples.map((it) => it.at)), REACH);
    [this.#left, this.#bottom] = [box.left, box.bottom];
    this.#columns = Math.ceil(box.width / GridField.#step) + 2;
    this.#rows = Math.ceil(box.height / GridField.#step) + 2;
    const flat = () => new Float64Array(this.#columns * this.#rows);
    [this.#east, this.#north, this.#weight] = [flat(), flat(), flat()];
    for (const sample of field.samples) this.#lay(sample);
    for (const sum of [this.#east, this.#north, this.#weight]) this.#spread(sum);
    const [east, north] = [OVERALL * Math.cos(2 * field.overall * RADIAN), OVERALL * Math.sin(2 * field.overall * RADIAN)];
    for (let node = 0; node < this.#east.length; node++) {
      this.#east[node]! += east;
      this.#north[node]! += north;
    }
  }

  /** How the wood runs at a place; nothing where no sample is near. */
  at([x, y]: Point): Run | null {
    const [across, up] = [(x - this.#left) / GridField.#step, (y - this.#bottom) / GridField.#step];
    if (!(across >= 0 && up >= 0 && across < this.#columns - 1 && up < this.#rows - 1)) return null;
    const [column, row] = [Math.floor(across), Math.floor(up)];
    const node = row * this.#columns + column;
    const weight = this.#between(this.#weight, node, across - column, up - row);
    if (weight < LEAST) return null;
    const east = this.#between(this.#east, node, across - column, up - row);
    const north = this.#between(this.#north, node, across - column, up - row);
    return { direction: Math.atan2(north, east) / 2, sure: Math.min(1, Math.hypot(east, north) / weight) };
  }

  /** Shares a sample among the four nodes round it. */
  #lay({ at, direction, sure }: GrainSample): void {
    const [x, y] = [(at[0] - this.#left) / GridField.#step, (at[1] - this.#bottom) / GridField.#step];
    const [column, row] = [Math.floor(x), Math.floor(y)];
    const [east, north] = [sure * Math.cos(2 * direction * RADIAN), sure * Math.sin(2 * direction * RADIAN)];
    for (const [dx, dy] of CORNERS) {
      const share = (dx ? x - column : 1 - x + column) * (dy ? y - row : 1 - y + row);
      const node = (row + dy) * this.#columns + column + dx;
      this.#east[node]! += share * east;
      this.#north[node]! += share * north;
      this.#weight[node]! += share;
    }
  }

  #spread(sum: Float64Array): void {
    const line = new Float64Array(Math.max(this.#rows, this.#columns));
    for (let row = 0; row < this.#rows; row++) spreadLine(sum, row * this.#columns, 1, this.#columns, line);
    for (let column = 0; column < this.#columns; column++) spreadLine(sum, column, this.#columns, this.#rows, line);
  }

  /** What the four nodes at and above one have at a place between them. */
  #between(sum: Float64Array, node: number, dx: number, dy: number): number {
    const low = sum[node]! * (1 - dx) + sum[node + 1]! * dx;
    const high = sum[node + this.#columns]! * (1 - dx) + sum[node + this.#columns + 1]! * dx;
    return low * (1 - dy) + high * dy;
  }
}

/** What a sample weighs so many nodes away. */
const weights = Array.from({ length: FAR * NODES + 1 }, (_, away) => Math.exp(-((away / NODES) ** 2) * Math.LN2));

/** Spreads what lies on one line of nodes along it. */
function spreadLine(sum: Float64Array, from: number, step: number, count: number, was: Float64Array): void {
  for (let index = 0; index < count; index++) was[index] = sum[from + index * step]!;
  for (let index = 0; index < count; index++) {
    let total = 0;
    const [first, last] = [Math.max(0, index - FAR * NODES), Math.min(count - 1, index + FAR * NODES)];
    for (let other = first; other <= last; other++) total += was[other]! * weights[Math.abs(other - index)]!;
    sum[from + index * step] = total;
  }
}
