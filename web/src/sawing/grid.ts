import { boxAround, type Box } from '@/lib/geometry';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** So many cells are enough for a slab, and few enough to look through for every cut. */
const CELLS = 150_000;
/** No cell is smaller, in millimetres. */
const FINEST = 0.5;
/** Free cells around the wood. */
const MARGIN = 3;

/** Wood on a grid of small squares, to find out what hangs together. */
export class WoodGrid {
  readonly step: number;
  readonly #left: number;
  readonly #bottom: number;
  readonly #wide: number;
  readonly #high: number;
  readonly #wood: Uint8Array;

  constructor(outline: Outline) {
    const box: Box = boxAround(outline.outer);
    this.step = Math.max(FINEST, Math.sqrt((box.width * box.height) / CELLS));
    [this.#left, this.#bottom] = [box.left - MARGIN * this.step, box.bottom - MARGIN * this.step];
    this.#wide = Math.ceil(box.width / this.step) + 2 * MARGIN;
    this.#high = Math.ceil(box.height / this.step) + 2 * MARGIN;
    this.#wood = new Uint8Array(this.#wide * this.#high);
    this.#fill(outline, 1);
  }

  /** Takes a piece of waste away. */
  takeOff(outline: Outline): void {
    this.#fill(outline, 0);
  }

  /** Takes the slot of a way away; a slot narrower than the grid can tell counts as wide enough to part. */
  saw(way: readonly Point[], kerf: number): void {
    const half = Math.max(kerf / 2, 0.75 * this.step);
    this.#along(way, half, (cell) => (this.#wood[cell] = 0));
  }

  /** The outline of the piece of wood that most of a way goes through, a cell larger all round; empty if there is none. */
  pieceUnder(way: readonly Point[]): Ring {
    /** Each cell's piece, from 1; 0 for a cell that no piece was found at. */
    const pieces = new Uint16Array(this.#wood.length);
    const met: number[] = [];
    this.#along(way, 0.75 * this.step, (cell) => {
      if (!this.#wood[cell]) return;
      if (!pieces[cell]) {
        this.#flood(cell, pieces, met.length + 1);
        met.push(0);
      }
      met[pieces[cell]! - 1]! += 1;
    });
    return met.length ? this.#edgeOf(this.#grown(pieces, met.indexOf(Math.max(...met)) + 1)) : [];
  }

  /** Row by row: cells whose middle lies inside, with even-odd for the openings. */
  #fill({ outer, openings }: Outline, value: 0 | 1): void {
    for (let row = 0; row < this.#high; row++) {
      const y = this.#bottom + (row + 0.5) * this.step;
      const crossings = [outer, ...openings].flatMap((ring) => crossingsAt(ring, y)).sort((a, b) => a - b);
      for (let index = 0; index + 1 < crossings.length; index += 2) {
        const from = Math.ceil((crossings[index]! - this.#left) / this.step - 0.5);
        const to = Math.floor((crossings[index + 1]! - this.#left) / this.step - 0.5);
        if (to >= from) this.#wood.fill(value, row * this.#wide + Math.max(0, from), row * this.#wide + Math.min(this.#wide - 1, to) + 1);
      }
    }
  }

  #along(way: readonly Point[], half: number, visit: (cell: number) => void): void {
    way.slice(1).forEach((to, index) => {
      const from = way[index]!;
      const [fromX, toX] = [Math.min(from[0], to[0]) - half, Math.max(from[0], to[0]) + half];
      const [fromY, toY] = [Math.min(from[1], to[1]) - half, Math.max(from[1], to[1]) + half];
      for (let row = this.#rowAt(fromY); row <= this.#rowAt(toY); row++) {
        for (let column = this.#columnAt(fromX); column <= this.#columnAt(toX); column++) {
          const at: Point = [this.#left + (column + 0.5) * this.step, this.#bottom + (row + 0.5) * this.step];
          if (isBeside(at, from, to, half)) visit(row * this.#wide + column);
        }
      }
    });
  }

  #rowAt(y: number): number {
    return Math.min(this.#high - 1, Math.max(0, Math.floor((y - this.#bottom) / this.step)));
  }

  #columnAt(x: number): number {
    return Math.min(this.#wide - 1, Math.max(0, Math.floor((x - this.#left) / this.step)));
  }

  #flood(first: number, pieces: Uint16Array, number: number): void {
    const [wood, wide, waiting] = [this.#wood, this.#wide, [first]];
    const reach = (cell: number) => {
      if (!wood[cell] || pieces[cell]) return;
      pieces[cell] = number;
      waiting.push(cell);
    };
    pieces[first] = number;
    for (let cell = waiting.pop(); cell !== undefined; cell = waiting.pop()) {
      // The free cells around the wood keep these four on the grid.
      reach(cell - 1);
      reach(cell + 1);
      reach(cell - wide);
      reach(cell + wide);
    }
  }

  #grown(pieces: Uint16Array, number: number): Uint8Array {
    const wide = this.#wide;
    const grown = new Uint8Array(pieces.length);
    for (let cell = 0; cell < pieces.length; cell++) {
      if (pieces[cell] !== number) continue;
      for (let row = cell - wide; row <= cell + wide; row += wide) grown[row - 1] = grown[row] = grown[row + 1] = 1;
    }
    return grown;
  }

  /** The longest line between cells of the piece and others, counter-clockwise. */
  #edgeOf(piece: Uint8Array): Ring {
    const wide = this.#wide;
    const across = wide + 1;
    /** From corner to corner, the piece at the left. */
    const next = new Map<number, number[]>();
    const add = (from: number, to: number) => next.set(from, [...(next.get(from) ?? []), to]);
    for (let cell = 0; cell < piece.length; cell++) {
      if (!piece[cell]) continue;
      const corner = Math.floor(cell / wide) * across + (cell % wide);
      if (!piece[cell - wide]) add(corner, corner + 1);
      if (!piece[cell + 1]) add(corner + 1, corner + 1 + across);
      if (!piece[cell + wide]) add(corner + 1 + across, corner + across);
      if (!piece[cell - 1]) add(corner + across, corner);
    }
    const longest = longestLoop(next);
    return cornersOnly(longest.map((it): Point => [this.#left + (it % across) * this.step, this.#bottom + Math.floor(it / across) * this.step]));
  }
}

function crossingsAt(ring: Ring, y: number): number[] {
  return ring.flatMap(([ax, ay], index) => {
    const [bx, by] = ring[(index + 1) % ring.length]!;
    return ay > y !== by > y ? [((bx - ax) * (y - ay)) / (by - ay) + ax] : [];
  });
}

/** Whether a point lies beside a stretch, not beyond its flat ends. */
function isBeside([x, y]: Point, [ax, ay]: Point, [bx, by]: Point, half: number): boolean {
  const [dx, dy] = [bx - ax, by - ay];
  const long = Math.hypot(dx, dy);
  if (long === 0) return false;
  const along = ((x - ax) * dx + (y - ay) * dy) / long;
  const off = ((y - ay) * dx - (x - ax) * dy) / long;
  // Joints of a bent way leave no gap.
  return along >= -half && along <= long + half && Math.abs(off) <= half;
}

function longestLoop(next: Map<number, number[]>): number[] {
  let longest: number[] = [];
  for (const first of next.keys()) {
    const loop: number[] = [];
    let at: number | undefined = first;
    while (at !== undefined) {
      const to: number | undefined = next.get(at)?.pop();
      if (to !== undefined) loop.push(at);
      at = to;
    }
    if (loop.length > longest.length) longest = loop;
  }
  return longest;
}

/** Without the points of straight runs. */
function cornersOnly(ring: Ring): Ring {
  return ring.filter(([x, y], index) => {
    const [before, after] = [ring.at(index - 1)!, ring[(index + 1) % ring.length]!];
    return Math.abs((x - before[0]) * (after[1] - y) - (y - before[1]) * (after[0] - x)) > 1e-9;
  });
}
