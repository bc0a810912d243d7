import type { Tool } from '@/board/tool';
import type { Moment, Sequence } from '@/sawing/sequence';
import type { Option } from '@/lib/words';

/** How fast the sawing is shown. */
export type Pace = 'slow' | 'steady' | 'fast';

export const paces: Option<Pace>[] = [
  { key: 'slow', word: 'Slow' },
  { key: 'steady', word: 'Steady' },
  { key: 'fast', word: 'Fast' },
];

/** Millimetres of the way in a second. */
const SPEEDS: Record<Pace, number> = { slow: 25, steady: 75, fast: 225 };
/** Turning the work back to a cut's beginning needs less than this of its way, in millimetres. */
const JUST_BEGUN = 8;
/** An arrow key leads the work so far, with Shift a little. */
const STEP = 20;
const LITTLE = 2;
/** A pause between two pictures that is longer than this is not caught up. */
const LONGEST_MS = 100;

/** The sawing of a face as it is played: how far along the whole way, and whether it runs. */
export class Player implements Tool {
  far = $state(0);
  playing = $state(false);
  pace = $state<Pace>('steady');

  readonly moment = $derived.by((): Moment => this.sequence.at(this.far));
  /** The place of the cut in the order, from 0; it changes only from cut to cut. */
  readonly cut = $derived.by(() => this.moment.cut);

  /** `still` is whether the reader wants no motion: nothing runs by itself then. */
  constructor(
    readonly sequence: Sequence,
    private readonly still: () => boolean,
  ) {}

  readonly keys = 'Space plays or pauses, left and right arrow lead the work along its way, up and down go from cut to cut, plus and minus zoom';

  get atEnd(): boolean {
    return this.far >= this.sequence.long;
  }

  play(): void {
    if (this.still()) return;
    if (this.atEnd) this.far = 0;
    this.playing = true;
  }

  pause(): void {
    this.playing = false;
  }

  toggle(): void {
    if (this.playing) this.pause();
    else this.play();
  }

  /** Goes on by the time since the last picture, in milliseconds. */
  tick(since: number): void {
    this.to(this.far + (SPEEDS[this.pace] * Math.min(since, LONGEST_MS)) / 1000);
    if (this.atEnd) this.pause();
  }

  /** Leads the work to a place on the whole way. */
  to(far: number): void {
    this.far = Math.min(this.sequence.long, Math.max(0, far));
  }

  toCut(cut: number): void {
    this.to(this.sequence.beginOf(Math.min(this.sequence.count - 1, Math.max(0, cut))));
  }

  /** To the next cut; behind the last one to the very end. */
  next(): void {
    this.to(this.sequence.beginOf(this.cut + 1));
  }

  /** To where this cut begins, or to the one before if it has just begun. */
  before(): void {
    const begun = this.far - this.sequence.beginOf(this.cut) > JUST_BEGUN;
    this.toCut(begun ? this.cut : this.cut - 1);
  }

  key(event: KeyboardEvent): boolean {
    const step = event.shiftKey ? LITTLE : STEP;
    if (event.key === ' ') this.toggle();
    else if (event.key === 'ArrowRight') this.to(this.far + step);
    else if (event.key === 'ArrowLeft') this.to(this.far - step);
    else if (event.key === 'ArrowDown') this.next();
    else if (event.key === 'ArrowUp') this.before();
    else if (event.key === 'Home') this.to(0);
    else if (event.key === 'End') this.to(this.sequence.long);
    else return false;
    return true;
  }
}
