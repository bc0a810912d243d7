import { Trouble } from '@/lib/problem';
import type { KnownLength } from '@/lib/wire/KnownLength';
import type { Shown } from '@/rack/chosenphoto.svelte';

/** A place on the picture: pixels from its upper left, y down. */
export type Spot = [number, number];
/** The first end of a length, or the second. */
export type End = 0 | 1;

/** A key moves an end by this share of the picture's width, as finely as it is told to the shop. */
const KEY_STEP = 1 / 1000;
/** With Shift. */
const LONG_STEP = 20;
/** From this speed on, in points of the screen per millisecond, an end keeps up with the finger. */
const BRISK = 0.4;
/** A slow finger moves an end by no less than this share of its own way. */
const SLOWEST = 0.25;

const KEYS: Record<string, [number, number]> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** A length that the maker measured on the wood, with its two ends on the picture. */
export class MarkedLength {
  /** `null` until it has been put on the wood. */
  ends = $state.raw<[Spot | null, Spot | null]>([null, null]);
  length = $state<number | null>(null);

  /** Before they are put on the wood, its ends wait at these shares of the picture. */
  constructor(
    readonly name: string,
    readonly way: 'along' | 'across',
    private readonly waiting: [Spot, Spot],
  ) {}

  at(end: End, { width, height }: Shown): Spot {
    const [x, y] = this.waiting[end];
    return this.ends[end] ?? [x * width, y * height];
  }

  put(end: End, [x, y]: Spot, { width, height }: Shown): void {
    const spot: Spot = [Math.min(width, Math.max(0, x)), Math.min(height, Math.max(0, y))];
    this.ends = end === 0 ? [spot, this.ends[1]] : [this.ends[0], spot];
  }

  /** Moves an end as a finger has moved over the picture: the slower, the finer. */
  drag(end: End, [dx, dy]: Spot, ms: number, shownWidth: number, shown: Shown): void {
    const speed = Math.hypot(dx, dy) / Math.max(1, ms);
    const gain = (Math.min(1, Math.max(SLOWEST, speed / BRISK)) * shown.width) / shownWidth;
    const [x, y] = this.at(end, shown);
    this.put(end, [x + dx * gain, y + dy * gain], shown);
  }

  /** Moves an end as a key says; whether it was one that does. */
  key(end: End, key: string, shift: boolean, shown: Shown): boolean {
    const way = KEYS[key];
    if (!way) return false;
    const step = shown.width * KEY_STEP * (shift ? LONG_STEP : 1);
    const [x, y] = this.at(end, shown);
    this.put(end, [x + way[0] * step, y + way[1] * step], shown);
    return true;
  }

  /** Another picture shows its ends elsewhere; the length stays. */
  takeUp(): void {
    this.ends = [null, null];
  }

  ask(): KnownLength {
    const [from_px, to_px] = this.ends;
    if (!from_px || !to_px) {
      throw new Trouble({ message: `an end of length ${this.name} is not on the wood yet`, hint: 'put all four ends where you measured' });
    }
    if (this.length === null) {
      throw new Trouble({ message: `length ${this.name} is missing`, hint: 'type what the tape says' });
    }
    return { from_px, to_px, length: this.length };
  }
}
