import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** So few edges are looked through one by one. */
const LEAF = 6;
/** Lines that come so near to each other, in millimetres, count as touching. */
const TOUCH = 1e-6;
/** Lines whose edges make so little of an angle, as a scalar product in square millimetres, are square to each other. */
const SQUARE = 1e-6;
/** A place well inside is looked for in so many rows and columns. */
const ROWS = 16;

/** Runs of edges with the boxes around them, each run before the two halves of it. */
interface Runs {
  left: number[];
  bottom: number[];
  right: number[];
  top: number[];
  first: number[];
  last: number[];
  /** The run that comes after this one and all of its halves. */
  next: number[];
}

/**
 * The lines of an outline as flat arrays, the inside to the left of every edge. Boxes around ever
 * shorter runs of edges tell which of them need not be looked at.
 */
export class Lines {
  /** Edges; edge `i` begins at corner `i`. */
  readonly count: number;
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly endX: Float64Array;
  readonly endY: Float64Array;
  /** The corner before each. */
  readonly before: Int32Array;
  /** The first edge of each ring, and the number of all edges behind them. */
  readonly starts: number[] = [0];
  readonly left: number;
  readonly bottom: number;
  readonly right: number;
  readonly top: number;

  /** What `nearest` found last: the place, and how far it is. */
  footX = 0;
  footY = 0;
  far = Infinity;

  #deep: Point | null | undefined;
  readonly #runs: Runs = { left: [], bottom: [], right: [], top: [], first: [], last: [], next: [] };

  constructor(outline: Outline) {
    const rings = [wound(outline.outer, true), ...outline.openings.map((it) => wound(it, false))];
    const corners = rings.flat();
    this.count = corners.length;
    this.x = Float64Array.from(corners, (it) => it[0]);
    this.y = Float64Array.from(corners, (it) => it[1]);
    const ends = rings.flatMap((it) => [...it.slice(1), ...it.slice(0, 1)]);
    this.endX = Float64Array.from(ends, (it) => it[0]);
    this.endY = Float64Array.from(ends, (it) => it[1]);
    this.before = Int32Array.from({ length: this.count }, (_, corner) => corner - 1);
    for (const ring of rings) {
      const first = this.starts.at(-1)!;
      this.starts.push(first + ring.length);
      if (!ring.length) continue;
      this.before[first] = first + ring.length - 1;
      this.#box(first, first + ring.length);
    }
    const { left, bottom, right, top } = this.#runs;
    [this.left, this.bottom, this.right, this.top] = [Math.min(...left), Math.min(...bottom), Math.max(...right), Math.max(...top)];
  }

  /** Adds the run from `first` to before `last`, and its halves. */
  #box(first: number, last: number): void {
    const runs = this.#runs;
    const run = runs.next.length;
    let [left, bottom, right, top] = [Infinity, Infinity, -Infinity, -Infinity];
    for (let edge = first; edge < last; edge++) {
      left = Math.min(left, this.x[edge]!, this.endX[edge]!);
      right = Math.max(right, this.x[edge]!, this.endX[edge]!);
      bottom = Math.min(bottom, this.y[edge]!, this.endY[edge]!);
      top = Math.max(top, this.y[edge]!, this.endY[edge]!);
    }
    for (const [list, it] of [[runs.left, left], [runs.bottom, bottom], [runs.right, right], [runs.top, top]] as const) list.push(it);
    for (const [list, it] of [[runs.first, first], [runs.last, last], [runs.next, 0]] as const) list.push(it);
    if (last - first > LEAF) {
      const half = (first + last) >> 1;
      this.#box(first, half);
      this.#box(half, last);
    }
    runs.next[run] = runs.next.length;
  }

  /** Whether a run has no halves, and its edges are to be looked at. */
  #isShort(run: number): boolean {
    return this.#runs.next[run] === run + 1;
  }

  /**
   * The edge nearest to a point, if it is nearer than `within` but not nearer than `least`, else
   * −1; where on it is in `footX` and `footY`. A good guess at the edge makes it quicker.
   */
  nearest(x: number, y: number, within: number, guess = -1, least = 0): number {
    const { left, bottom, right, top, first, last, next } = this.#runs;
    this.far = within;
    let found = guess >= 0 && this.#nearer(guess, x, y) ? guess : -1;
    for (let run = 0; run < next.length; ) {
      if (this.far < least) return -1;
      const across = Math.max(left[run]! - x, x - right[run]!, 0);
      const up = Math.max(bottom[run]! - y, y - top[run]!, 0);
      if (across * across + up * up >= this.far * this.far) {
        run = next[run]!;
        continue;
      }
      if (this.#isShort(run)) for (let edge = first[run]!; edge < last[run]!; edge++) if (this.#nearer(edge, x, y)) found = edge;
      run++;
    }
    return this.far < least ? -1 : found;
  }

  /** Whether an edge is nearer to a point than `far`; then that and the foot are of this edge. */
  #nearer(edge: number, x: number, y: number): boolean {
    const startX = this.x[edge]!;
    const startY = this.y[edge]!;
    const dx = this.endX[edge]! - startX;
    const dy = this.endY[edge]! - startY;
    const square = dx * dx + dy * dy;
    const share = square === 0 ? 0 : Math.min(1, Math.max(0, ((x - startX) * dx + (y - startY) * dy) / square));
    const footX = startX + share * dx;
    const footY = startY + share * dy;
    const away = (x - footX) * (x - footX) + (y - footY) * (y - footY);
    if (away >= this.far * this.far) return false;
    this.footX = footX;
    this.footY = footY;
    this.far = Math.sqrt(away);
    return true;
  }

  /**
   * Whether a corner is no farther from a spot beside it than the edges at it (or, `farthest`, no
   * nearer): only there can shapes touch.
   */
  pointsAt(corner: number, x: number, y: number, farthest: boolean): boolean {
    const toX = x - this.x[corner]!;
    const toY = y - this.y[corner]!;
    const before = this.before[corner]!;
    const after = toX * (this.endX[corner]! - this.x[corner]!) + toY * (this.endY[corner]! - this.y[corner]!);
    const back = toX * (this.x[before]! - this.x[corner]!) + toY * (this.y[before]! - this.y[corner]!);
    return farthest ? after > -SQUARE && back > -SQUARE : after < SQUARE && back < SQUARE;
  }

  /** Whether a point lies inside: a line to its right crosses the lines an odd number of times. */
  holds(x: number, y: number): boolean {
    const { left, bottom, right, top, first, last, next } = this.#runs;
    let inside = false;
    for (let run = 0; run < next.length; ) {
      if (y < bottom[run]! || y >= top[run]! || x > right[run]!) {
        run = next[run]!;
        continue;
      }
      const [from, to] = [first[run]!, last[run]! - 1];
      if (x < left[run]!) {
        // All of it is to the right, so only its two ends count.
        if (this.y[from]! > y !== this.endY[to]! > y) inside = !inside;
        run = next[run]!;
        continue;
      }
      if (this.#isShort(run)) for (let edge = from; edge <= to; edge++) if (this.#isRightOf(edge, x, y)) inside = !inside;
      run++;
    }
    return inside;
  }

  #isRightOf(edge: number, x: number, y: number): boolean {
    const ax = this.x[edge]!;
    const ay = this.y[edge]!;
    const bx = this.endX[edge]!;
    const by = this.endY[edge]!;
    return ay > y !== by > y && ((bx - ax) * (y - ay)) / (by - ay) + ax > x;
  }

  /** A place well inside, if there is room for one. */
  get deep(): Point | null {
    return (this.#deep ??= this.#deepest());
  }

  #deepest(): Point | null {
    let [best, deep] = [null as Point | null, 0];
    for (let spot = 0; spot < ROWS * ROWS; spot++) {
      const x = this.left + (((spot % ROWS) + 0.5) / ROWS) * (this.right - this.left);
      const y = this.bottom + ((Math.floor(spot / ROWS) + 0.5) / ROWS) * (this.top - this.bottom);
      if (this.holds(x, y) && this.nearest(x, y, Infinity) >= 0 && this.far > deep) [best, deep] = [[x, y], this.far];
    }
    return best;
  }

  /** Tells each edge that a straight line crosses or touches, with the shares of both where that is. */
  crossings(ax: number, ay: number, bx: number, by: number, tell: (edge: number, share: number, edgeShare: number) => void): void {
    const [dx, dy] = [bx - ax, by - ay];
    const long = Math.hypot(dx, dy);
    this.inBox(Math.min(ax, bx) - TOUCH, Math.min(ay, by) - TOUCH, Math.max(ax, bx) + TOUCH, Math.max(ay, by) + TOUCH, (edge) => {
      const [startX, startY] = [this.x[edge]!, this.y[edge]!];
      const [ex, ey] = [this.endX[edge]! - startX, this.endY[edge]! - startY];
      const cross = dx * ey - dy * ex;
      const edgeLong = Math.hypot(ex, ey);
      // Where lines run alongside, the edges at their ends tell.
      if (Math.abs(cross) <= 1e-12 * long * edgeLong) return;
      const share = ((startX - ax) * ey - (startY - ay) * ex) / cross;
      const edgeShare = ((startX - ax) * dy - (startY - ay) * dx) / cross;
      const [slack, edgeSlack] = [TOUCH / long, TOUCH / edgeLong];
      if (share >= -slack && share <= 1 + slack && edgeShare >= -edgeSlack && edgeShare <= 1 + edgeSlack) tell(edge, share, edgeShare);
    });
  }

  /** Tells each edge that may have a point in a box. */
  inBox(fromX: number, fromY: number, toX: number, toY: number, tell: (edge: number) => void): void {
    const { left, bottom, right, top, first, last, next } = this.#runs;
    for (let run = 0; run < next.length; ) {
      if (left[run]! > toX || right[run]! < fromX || bottom[run]! > toY || top[run]! < fromY) {
        run = next[run]!;
        continue;
      }
      if (this.#isShort(run)) for (let edge = first[run]!; edge < last[run]!; edge++) tell(edge);
      run++;
    }
  }

  /** Tells each edge that a point going one way may come so near to. */
  ahead(x: number, y: number, goX: number, goY: number, near: number, tell: (edge: number) => void): void {
    const { left, bottom, right, top, first, last, next } = this.#runs;
    for (let run = 0; run < next.length; ) {
      if (!runsInto(x, y, goX, goY, left[run]! - near, bottom[run]! - near, right[run]! + near, top[run]! + near)) {
        run = next[run]!;
        continue;
      }
      if (this.#isShort(run)) for (let edge = first[run]!; edge < last[run]!; edge++) tell(edge);
      run++;
    }
  }
}

/** Whether a point going one way for ever comes into a box. */
function runsInto(x: number, y: number, goX: number, goY: number, left: number, bottom: number, right: number, top: number): boolean {
  if ((goX === 0 && (x < left || x > right)) || (goY === 0 && (y < bottom || y > top))) return false;
  let [enters, leaves] = [0, Infinity];
  if (goX !== 0) {
    const [one, two] = [(left - x) / goX, (right - x) / goX];
    [enters, leaves] = [Math.max(enters, Math.min(one, two)), Math.min(leaves, Math.max(one, two))];
  }
  if (goY !== 0) {
    const [one, two] = [(bottom - y) / goY, (top - y) / goY];
    [enters, leaves] = [Math.max(enters, Math.min(one, two)), Math.min(leaves, Math.max(one, two))];
  }
  return enters <= leaves;
}

/** A ring that runs counter-clockwise, or else clockwise. */
function wound(ring: Ring, counter: boolean): Ring {
  const twice = ring.reduce((sum, [x, y], index) => {
    const [nextX, nextY] = ring[(index + 1) % ring.length]!;
    return sum + x * nextY - nextX * y;
  }, 0);
  return twice > 0 === counter ? ring : [...ring].reverse();
}
