import type { Lines } from '@/jobs/hand/lines';
import type { Posed } from '@/jobs/hand/posed';
import type { Point } from '@/lib/wire/Point';

/** Spots are told apart by the way that leads off there: so many ways all round. */
const WAYS = 24;
/** Nearer than this, in millimetres, two points do not tell a way. */
const NO_WAY = 1e-7;
/** A piece of an edge shorter than this between two crossings, in millimetres, tells nothing. */
const SHORT = 1e-4;

/** What a part keeps clear of on a face. */
export interface Thing {
  lines: Lines;
  /** Whether the part has to lie within it, as in its wood. */
  within: boolean;
  /** So much is kept clear, in millimetres. */
  clear: number;
}

/** How a part and a thing lie to each other at one spot. */
export interface Contact {
  /** Millimetres between them, or how far one reaches into the other, less than nought. */
  way: number;
  /** The spot on the part. */
  from: Point;
  /** And on the thing. */
  to: Point;
  /** The way, one millimetre long, by which the part gets off. */
  off: Point;
}

/** What is looked for where a part and a thing lie near to each other. */
interface Found {
  /** Whether only corners count that point at the other. */
  sharp: boolean;
  /** Points that lie well count if they are nearer than this. */
  near: number;
  /** Points that lie amiss count if they are at least so deep. */
  deep: number;
  note(way: number, fromX: number, fromY: number, toX: number, toY: number, offX: number, offY: number): void;
}

/** The nearest spot of all, or the deepest. */
class Nearest implements Found {
  readonly sharp = false;
  deep = 0;
  spot: Contact | null = null;

  constructor(public near: number) {}

  note(way: number, fromX: number, fromY: number, toX: number, toY: number, offX: number, offY: number): void {
    if (this.spot && way >= this.spot.way) return;
    this.spot = { way, from: [fromX, fromY], to: [toX, toY], off: [offX, offY] };
    this.near = Math.max(0, way);
    this.deep = Math.max(0, -way);
  }
}

/** The nearest spot on each side. */
class Sides implements Found {
  readonly sharp = true;
  readonly deep = 0;
  readonly spots: (Contact | undefined)[] = new Array<undefined>(WAYS);

  constructor(readonly near: number) {}

  note(way: number, fromX: number, fromY: number, toX: number, toY: number, offX: number, offY: number): void {
    const turn = Math.atan2(offY, offX) / (2 * Math.PI);
    const side = Math.floor((turn + 1) * WAYS) % WAYS;
    if (way >= (this.spots[side]?.way ?? Infinity)) return;
    this.spots[side] = { way, from: [fromX, fromY], to: [toX, toY], off: [offX, offY] };
  }
}

/** The spot where a part and a thing are nearest, if nearer than `limit`, or where one reaches deepest into the other. */
export function nearestSpot(part: Posed, thing: Thing, limit: number): Contact | null {
  const found = new Nearest(limit);
  look(part, thing, limit, found);
  return found.spot;
}

/** The spots nearer than `limit` where the two would touch, one for each way off. */
export function contactsOf(part: Posed, thing: Thing, limit: number): Contact[] {
  const found = new Sides(limit);
  look(part, thing, limit, found);
  return found.spots.filter((it) => it !== undefined);
}

function look(part: Posed, thing: Thing, limit: number, found: Found): void {
  if (thing.within || !farOff(part, thing.lines, limit)) new Look(part, thing, limit, found).all();
}

/** Whether the boxes around both are farther apart than this. */
function farOff(part: Posed, { left, bottom, right, top }: Lines, limit: number): boolean {
  return part.left > right + limit || part.right < left - limit || part.bottom > top + limit || part.top < bottom - limit;
}

/** Where two edges meet, in shares of both. */
interface Crossing {
  edge: number;
  share: number;
  of: number;
  ofShare: number;
}

/**
 * A look at how a part lies to a thing. Where their lines do not meet, the nearest spots are at a
 * corner of one of them; where they do, a piece of an edge between two crossings has its middle
 * looked at too, so that no overlap is missed.
 */
class Look {
  readonly #crossings: Crossing[] = [];
  /** The edges that were nearest last: neighbours are nearest to the same ones. */
  #guess = -1;
  #ownGuess = -1;

  constructor(
    private readonly part: Posed,
    private readonly thing: Thing,
    private readonly limit: number,
    private readonly found: Found,
  ) {}

  all(): void {
    this.#cross();
    if (this.#crossings.length) this.#mixed();
    else this.#apart();
  }

  #cross(): void {
    const { x, y, lines } = this.part;
    for (let ring = 1; ring < lines.starts.length; ring++) {
      const [first, last] = [lines.starts[ring - 1]!, lines.starts[ring]! - 1];
      for (let edge = first; edge <= last; edge++) {
        const end = edge === last ? first : edge + 1;
        this.thing.lines.crossings(x[edge]!, y[edge]!, x[end]!, y[end]!, (of, share, ofShare) => {
          this.#crossings.push({ edge, share, of, ofShare });
        });
      }
    }
  }

  /** Lines that nowhere meet: of each ring all corners are inside, or none. */
  #apart(): void {
    const { part, thing } = this;
    const { starts } = part.lines;
    for (let ring = 1; ring < starts.length; ring++) {
      const first = starts[ring - 1]!;
      const inside = thing.lines.holds(part.x[first]!, part.y[first]!);
      for (let corner = first; corner < starts[ring]!; corner++) this.#ofPart(part.x[corner]!, part.y[corner]!, inside, corner);
    }
    const insides = new Map<number, boolean>();
    this.#nearCorners((corner, x, y, ownX, ownY) => {
      const ring = ringOf(thing.lines.starts, corner);
      const inside = insides.get(ring) ?? part.lines.holds(ownX, ownY);
      insides.set(ring, inside);
      this.#ofThing(x, y, ownX, ownY, inside, corner);
    });
  }

  /** Lines that meet: every corner is asked, and the pieces between crossings. */
  #mixed(): void {
    const { part, thing } = this;
    const { lines } = thing;
    for (let corner = 0; corner < part.x.length; corner++) {
      const [x, y] = [part.x[corner]!, part.y[corner]!];
      this.#ofPart(x, y, lines.holds(x, y), corner);
    }
    this.#nearCorners((corner, x, y, ownX, ownY) => this.#ofThing(x, y, ownX, ownY, part.lines.holds(ownX, ownY), corner));
    for (const it of piecesOf(part.lines, this.#crossings.map(({ edge, share }) => ({ edge, share })))) {
      const [x, y] = pieceMiddle(part.lines, it);
      this.#askPart(part.faceX(x, y), part.faceY(x, y));
    }
    for (const it of piecesOf(lines, this.#crossings.map(({ of, ofShare }) => ({ edge: of, share: ofShare })))) {
      const [x, y] = pieceMiddle(lines, it);
      this.#askThing(x, y);
    }
    // Two things of one shape on one spot have no corner in each other.
    const { deep } = part.lines;
    if (deep) this.#askPart(part.faceX(...deep), part.faceY(...deep));
    if (lines.deep && !thing.within) this.#askThing(...lines.deep);
  }

  /** Tells the thing's corners that the part may be near to, as both drawings count. */
  #nearCorners(tell: (corner: number, x: number, y: number, ownX: number, ownY: number) => void): void {
    const { part, limit } = this;
    const { lines } = this.thing;
    const [left, bottom, right, top] = [part.left - limit, part.bottom - limit, part.right + limit, part.top + limit];
    lines.inBox(left, bottom, right, top, (corner) => {
      const [x, y] = [lines.x[corner]!, lines.y[corner]!];
      if (x >= left && x <= right && y >= bottom && y <= top) tell(corner, x, y, part.ownX(x, y), part.ownY(x, y));
    });
  }

  #askPart(x: number, y: number): void {
    this.#ofPart(x, y, this.thing.lines.holds(x, y));
  }

  #askThing(x: number, y: number): void {
    const [ownX, ownY] = [this.part.ownX(x, y), this.part.ownY(x, y)];
    this.#ofThing(x, y, ownX, ownY, this.part.lines.holds(ownX, ownY));
  }

  /** A point of the part; if it is one, its corner. */
  #ofPart(x: number, y: number, inside: boolean, corner = -1): void {
    const { lines, within } = this.thing;
    const well = inside === within;
    const edge = well ? lines.nearest(x, y, this.found.near, this.#guess) : lines.nearest(x, y, Infinity, this.#guess, this.found.deep);
    if (edge < 0) return;
    this.#guess = edge;
    const { footX, footY, far } = lines;
    if (this.found.sharp && (corner < 0 ? well : !this.part.pointsAt(corner, footX, footY, !well))) return;
    const side = (well ? 1 : -1) / far;
    const [offX, offY] = far > NO_WAY ? [side * (x - footX), side * (y - footY)] : offEdge(lines, edge, within);
    this.found.note(well ? far : -far, x, y, footX, footY, offX, offY);
  }

  /** A point of the thing, as both drawings count; if it is one, its corner. */
  #ofThing(x: number, y: number, ownX: number, ownY: number, inside: boolean, corner = -1): void {
    const { lines } = this.part;
    const { near, deep } = this.found;
    const edge = inside ? lines.nearest(ownX, ownY, Infinity, this.#ownGuess, deep) : lines.nearest(ownX, ownY, near, this.#ownGuess);
    if (edge < 0) return;
    this.#ownGuess = edge;
    const { far } = lines;
    const footX = this.part.faceX(lines.footX, lines.footY);
    const footY = this.part.faceY(lines.footX, lines.footY);
    if (this.found.sharp && (corner < 0 ? !inside : !this.thing.lines.pointsAt(corner, footX, footY, inside))) return;
    const side = (inside ? -1 : 1) / far;
    const [offX, offY] = far > NO_WAY ? [side * (footX - x), side * (footY - y)] : this.part.inward(edge);
    this.found.note(inside ? -far : far, footX, footY, x, y, offX, offY);
  }
}

/** Off a thing at one of its edges: away from a zone, but into the wood. */
function offEdge({ x, y, endX, endY }: Lines, edge: number, within: boolean): Point {
  const [dx, dy] = [endX[edge]! - x[edge]!, endY[edge]! - y[edge]!];
  const long = (Math.hypot(dx, dy) || 1) * (within ? -1 : 1);
  return [dy / long, -dx / long];
}

function ringOf(starts: readonly number[], corner: number): number {
  let ring = 1;
  while (corner >= starts[ring]!) ring++;
  return ring;
}

/** A piece of an edge, from one share of it to another. */
interface Piece {
  edge: number;
  from: number;
  to: number;
}

/** The pieces into which edges are cut at these places. */
function piecesOf({ x, y, endX, endY }: Lines, cuts: { edge: number; share: number }[]): Piece[] {
  const sorted = [...cuts].sort((a, b) => a.edge - b.edge || a.share - b.share);
  const pieces: Piece[] = [];
  sorted.forEach(({ edge, share }, index) => {
    const before = sorted[index - 1];
    const after = sorted[index + 1];
    pieces.push({ edge, from: before?.edge === edge ? before.share : 0, to: share });
    if (after?.edge !== edge) pieces.push({ edge, from: share, to: 1 });
  });
  const long = (edge: number) => Math.hypot(endX[edge]! - x[edge]!, endY[edge]! - y[edge]!);
  return pieces.filter((it) => (it.to - it.from) * long(it.edge) > SHORT);
}

function pieceMiddle({ x, y, endX, endY }: Lines, { edge, from, to }: Piece): Point {
  const share = (from + to) / 2;
  return [x[edge]! + share * (endX[edge]! - x[edge]!), y[edge]! + share * (endY[edge]! - y[edge]!)];
}
