import type { Tool } from '@/board/tool';
import { ask } from '@/lib/client';
import { distance, nearestOn } from '@/lib/geometry';
import { problemOf } from '@/lib/problem';
import type { Shop } from '@/lib/shop.svelte';
import { scaledBy } from '@/patterns/scale';
import type { Outline } from '@/lib/wire/Outline';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Point } from '@/lib/wire/Point';
import type { Problem } from '@/lib/wire/Problem';
import type { Refit } from '@/lib/wire/Refit';
import type { TracedLine } from '@/lib/wire/TracedLine';
import { Deed } from '@/ui/deed.svelte';

/** Changes that follow each other sooner than this are one. */
const PAUSE_MS = 500;

/** A traced line in hand: how it is made smooth, and how its size is told. */
export class TracedEditor {
  /** The line as it is being tried, before it is kept. */
  tried = $state.raw<TracedLine | null>(null);
  /** What the shop made of the line that was last looked at. */
  refit = $state.raw<Refit | null>(null);
  problem = $state.raw<Problem | null>(null);
  /** Points touched to tell the size by; `null` while that is not under way. */
  ends = $state.raw<Point[] | null>(null);
  readonly deed = new Deed();

  #asked = 0;
  #pause: ReturnType<typeof setTimeout> | undefined;
  #turn: Promise<unknown> = Promise.resolve();

  /** Sets one end after the other on the outline; a third touch begins anew. */
  readonly tool: Tool = {
    down: () => true,
    up: (at) => this.touch(at),
  };

  constructor(
    private readonly shop: Shop,
    private readonly id: () => number,
  ) {}

  get pattern(): Pattern | undefined {
    return this.shop.pattern(this.id());
  }

  /** The line as it is kept; a pattern that was traced long ago has none. */
  get line(): TracedLine | undefined {
    const origin = this.pattern?.origin;
    return origin?.from === 'traced' ? origin.line : undefined;
  }

  /** Asks the shop for the smooth line; the answer to what was asked last counts. */
  async look(line: TracedLine): Promise<void> {
    const asked = ++this.#asked;
    try {
      const refit = await ask<Refit>('POST', '/api/patterns/fit', line);
      if (asked === this.#asked) [this.refit, this.problem] = [refit, null];
    } catch (thrown) {
      if (asked === this.#asked) this.problem = problemOf(thrown);
    }
  }

  /** Tries a change, which shows at once, and keeps it when no other follows. */
  try(change: (line: TracedLine) => TracedLine): void {
    const line = this.tried ?? this.line;
    if (!line) return;
    this.tried = change(line);
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => void this.deed.run(() => this.#keep()), PAUSE_MS);
  }

  /** Changes the line and keeps it at once; throws what the shop answers. */
  change(change: (line: TracedLine) => TracedLine): Promise<unknown> {
    const line = this.tried ?? this.line;
    if (!line) return Promise.resolve();
    this.tried = change(line);
    return this.#keep();
  }

  #keep(): Promise<void> {
    clearTimeout(this.#pause);
    return this.#inTurn(() => this.#keepTried());
  }

  /** Making a line smooth takes a while, in which the maker goes on; what was asked first is kept first. */
  #inTurn(deed: () => Promise<void>): Promise<void> {
    const done = this.#turn.then(deed);
    this.#turn = done.catch(() => undefined);
    return done;
  }

  async #keepTried(): Promise<void> {
    if (this.tried) await this.#fit(this.tried, withLine);
  }

  /** Has the line made smooth, and the pattern changed by what comes of it. */
  async #fit(line: TracedLine, change: (it: Pattern, line: TracedLine, outline: Outline) => Pattern): Promise<void> {
    try {
      const { outline } = await ask<Refit>('POST', '/api/patterns/fit', line);
      await this.shop.editPattern(this.id(), (it) => change(it, line, outline));
    } finally {
      if (this.tried === line) this.tried = null;
    }
  }

  keepCorner(at: Point): Promise<unknown> {
    return this.change((line) => ({ ...line, corners: [...line.corners, at] }));
  }

  /** Lets a corner go that the smooth line has, and its image on the other half. */
  letCornerGo(at: Point): Promise<unknown> {
    const image = this.refit?.axis ? mirrored(at, this.refit.axis.from, this.refit.axis.to) : at;
    return this.change((line) => {
      const far = line.corners.map((it) => Math.min(distance(it, at), distance(it, image)));
      const nearest = far.indexOf(Math.min(...far));
      return { ...line, corners: line.corners.filter((_, index) => index !== nearest) };
    });
  }

  touch(at: Point): void {
    const ring = this.pattern?.outline.outer;
    if (!ring || !this.ends) return;
    const end = nearestOn(ring, at);
    this.ends = this.ends.length === 1 ? [...this.ends, end] : [end];
  }

  /** How far the touched points are apart as the pattern stands. */
  get apart(): number | null {
    const [from, to] = this.ends ?? [];
    return from && to ? distance(from, to) : null;
  }

  /** Brings the whole pattern to the size at which the touched points are so far apart. */
  async size(length: number): Promise<void> {
    const apart = this.apart;
    if (!apart || !(length > 0)) return;
    await this.#scale(length / apart);
    this.ends = null;
  }

  async sizeOverAll(length: number, now: number): Promise<void> {
    await this.#scale(length / now);
  }

  #scale(by: number): Promise<void> {
    clearTimeout(this.#pause);
    return this.#inTurn(async () => {
      await this.#keepTried();
      const pattern = this.pattern;
      if (pattern) await this.#scaleKept(pattern, by);
    });
  }

  /** A larger line may have the same least radius, so it is made smooth anew; what is tried meanwhile, is tried on it. */
  async #scaleKept(pattern: Pattern, by: number): Promise<void> {
    const { origin } = scaledBy(pattern, by);
    if (origin.from !== 'traced' || !origin.line) {
      await this.shop.editPattern(this.id(), (it) => scaledBy(it, by));
      return;
    }
    this.tried = origin.line;
    await this.#fit(origin.line, (it, _, outline) => ({ ...scaledBy(it, by), outline }));
  }
}

/** A pattern with another line, and the outline that was made of it. */
export function withLine(pattern: Pattern, line: TracedLine, outline: Pattern['outline']): Pattern {
  if (pattern.origin.from !== 'traced') return pattern;
  return { ...pattern, origin: { ...pattern.origin, line }, outline };
}

function mirrored([x, y]: Point, [ax, ay]: Point, [bx, by]: Point): Point {
  const [dx, dy] = [bx - ax, by - ay];
  const share = ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy);
  return [2 * (ax + share * dx) - x, 2 * (ay + share * dy) - y];
}

/** Offered corners that are not kept yet: none of the kept ones is near. */
export function open(offered: readonly Point[], kept: readonly Point[], near: number): Point[] {
  return offered.filter((it) => kept.every((other) => distance(it, other) > near));
}
