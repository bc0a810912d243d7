import { getContext, setContext } from 'svelte';
import { ask } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import { keepUnchanged } from '@/lib/unchanged';
import { unkept } from '@/lib/unkept';
import type { Facts } from '@/lib/wire/Facts';
import type { Job } from '@/lib/wire/Job';
import type { JobView } from '@/lib/wire/JobView';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Piece } from '@/lib/wire/Piece';
import type { Problem } from '@/lib/wire/Problem';
import type { ShopKit } from '@/lib/wire/ShopKit';
import type { ShopView } from '@/lib/wire/ShopView';

/** A change is tried so often upon what other devices have made of the thing. */
const TRIES = 3;

/**
 * The shop as the server last told it; every change goes there and is read back. What a change left
 * as it was, at the same place, stays the same thing.
 */
export class Shop {
  view = $state.raw<ShopView | null>(null);
  facts = $state.raw<Facts>({ species: [], finishes: [], glues: [], rooms: [] });
  /** Why the shop could not be read. */
  trouble = $state.raw<Problem | null>(null);
  /** What was doubtful when a thing was brought in, by its place: `rack/3`. */
  remarks = $state.raw<Record<string, Problem[]>>({});
  /** Whether changes made elsewhere reach this page. */
  heard = $state(true);

  #line: Promise<unknown> = Promise.resolve();
  #reading: Promise<void> | null = null;
  #readAgain = false;
  #events: EventSource | null = null;

  /** Reads the shop and listens for changes; returns what ends that. */
  open(): () => void {
    void this.read();
    this.#events = new EventSource('/api/events');
    this.#events.onmessage = (message) => void this.#hear(message.data as string);
    this.#events.onopen = () => (this.heard = true);
    this.#events.onerror = () => (this.heard = false);
    return () => this.#events?.close();
  }

  /** Reads the whole shop; calls that come meanwhile share one more reading. */
  read(): Promise<void> {
    if (this.#reading) {
      this.#readAgain = true;
      return this.#reading;
    }
    this.#reading = this.#readOnce().finally(() => (this.#reading = null));
    return this.#reading;
  }

  async #readOnce(): Promise<void> {
    do {
      this.#readAgain = false;
      try {
        const [view, facts] = await Promise.all([ask<ShopView>('GET', '/api/shop'), this.#readFacts()]);
        const kept = keepUnchanged(this.view, view);
        // After a trouble all that hangs on the shop asks again, also where the shop is the same.
        this.view = this.trouble ? { ...kept } : kept;
        this.facts = keepUnchanged(this.facts, facts);
        this.trouble = null;
      } catch (thrown) {
        this.trouble = problemOf(thrown);
      }
    } while (this.#readAgain);
  }

  /** The facts change with the shop's own rows, which are part of it. */
  #readFacts(): Promise<Facts> {
    return ask<Facts>('GET', '/api/facts');
  }

  /** What is being read may have what is heard of in it already: the first word comes while the page opens. */
  async #hear(data: string): Promise<void> {
    const { version } = JSON.parse(data) as { version: number };
    await this.#reading;
    if (version !== this.view?.version) void this.read();
  }

  piece = (id: number): Piece | undefined => this.view?.pieces.find((it) => it.id === id);
  pattern = (id: number): Pattern | undefined => this.view?.patterns.find((it) => it.id === id);
  job = (id: number): JobView | undefined => this.view?.jobs.find((it) => it.job.id === id);
  speciesName = (key: string): string => this.facts.species.find((it) => it.key === key)?.name ?? key;

  /** Whether nothing is in the shop yet. */
  get bare(): boolean {
    return !!this.view && !this.view.pieces.length && !this.view.patterns.length && !this.view.jobs.length;
  }

  editPiece(id: number, change: (piece: Piece) => Piece): Promise<Piece> {
    return this.#edit(`/api/pieces/${id}`, () => this.piece(id), change);
  }

  editPattern(id: number, change: (pattern: Pattern) => Pattern): Promise<Pattern> {
    return this.#edit(`/api/patterns/${id}`, () => this.pattern(id), change);
  }

  editJob(id: number, change: (job: Job) => Job): Promise<Job> {
    return this.#edit(`/api/jobs/${id}`, () => this.job(id)?.job, change);
  }

  editKit(change: (kit: ShopKit) => ShopKit): Promise<unknown> {
    return this.#edit('/api/kit', () => this.view?.kit, change);
  }

  create<T>(path: string, body: unknown): Promise<T> {
    return this.#inLine(() => ask<T>('POST', path, body));
  }

  remove(path: string): Promise<void> {
    return this.#inLine(() => ask<void>('DELETE', path));
  }

  undo(): Promise<unknown> {
    return this.#inLine(() => ask('POST', '/api/undo'));
  }

  redo(): Promise<unknown> {
    return this.#inLine(() => ask('POST', '/api/redo'));
  }

  /** Changes the newest state of a thing, after every change before it; again, if another device was quicker. */
  #edit<T>(path: string, newest: () => T | undefined, change: (it: T) => T): Promise<T> {
    return this.#inLine(async () => {
      for (let left = TRIES; ; left -= 1) {
        const [now, seen] = [newest(), this.view?.version];
        if (now === undefined) throw new Error('this was taken away on another device');
        try {
          return await ask<T>('PUT', path, change(now), seen);
        } catch (thrown) {
          await this.read();
          if (left <= 1 || this.view?.version === seen) throw thrown;
        }
      }
    });
  }

  /** One change after the other, the shop read again after each. */
  #inLine<T>(deed: () => Promise<T>): Promise<T> {
    const done = unkept.until(this.#line.then(deed)).then(async (answer) => {
      await this.read();
      return answer;
    });
    this.#line = done.catch(() => undefined);
    return done;
  }
}

const SHOP = Symbol('shop');

export function provideShop(shop: Shop): Shop {
  return setContext(SHOP, shop);
}

export function theShop(): Shop {
  return getContext<Shop>(SHOP);
}
