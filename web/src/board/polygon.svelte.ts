import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import { distance, simplified } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** A hand-drawn line may stray so far from its corners, in fingers' breadths. */
const STRAY = 0.08;

/** Draws a closed line: corner by corner, in one sweep of the hand, or with the keys. */
export class PolygonTool implements Tool {
  /** Corners set one by one. */
  corners = $state.raw<Point[]>([]);
  /** The line of a sweep of the hand. */
  sweep = $state.raw<Point[]>([]);
  /** Where the keys are; `null` while the pointer draws. */
  cursor = $state.raw<Point | null>(null);

  #reach = 1;

  /** `done` gets the ring and says whether it was kept; `leave` ends the drawing without one. */
  constructor(
    private readonly done: (ring: Ring) => Promise<boolean>,
    private readonly leave: () => void,
  ) {}

  readonly keys = 'Arrow keys move the cross, Enter sets a corner, Backspace takes it back, C closes the line, Escape leaves';

  /** What is drawn so far. */
  get line(): Point[] {
    return this.sweep.length > 1 ? this.sweep : this.corners;
  }

  down(at: Point, reach: number): boolean {
    this.sweep = [at];
    this.#reach = reach;
    this.cursor = null;
    return true;
  }

  move(at: Point): void {
    this.sweep = [...this.sweep, at];
  }

  /** A sweep closes at once; less than a finger's breadth is a touch. */
  up(at: Point): void {
    const sweep = this.sweep;
    this.sweep = [];
    if (sweep.some((it) => distance(it, sweep[0]!) > 1.5 * this.#reach)) void this.#close(simplified(sweep, this.#reach * STRAY));
    else this.#set(at, this.#reach);
  }

  cancel(): void {
    this.sweep = [];
    this.corners = [];
  }

  #set(at: Point, reach: number): void {
    const first = this.corners[0];
    if (first && this.closable && distance(first, at) < reach) this.close();
    else this.corners = [...this.corners, at];
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    const step = arrowStep(event);
    this.cursor ??= this.corners.at(-1) ?? camera.toMm(camera.width / 2, camera.height / 2);
    const [x, y] = this.cursor;
    if (step) {
      this.cursor = [x + step[0], y + step[1]];
      if (!camera.sees(this.cursor)) camera.lookAt(this.cursor);
    } else if (event.key === 'Enter' || event.key === ' ') this.#set([x, y], 4);
    else if (event.key === 'Backspace') this.corners = this.corners.slice(0, -1);
    else if (event.key === 'c' || event.key === 'C') this.close();
    else if (event.key === 'Escape') this.leave();
    else return false;
    return true;
  }

  /** Whether there is enough of a line to close. */
  get closable(): boolean {
    return this.corners.length > 2;
  }

  close(): void {
    if (this.closable) void this.#close(this.corners);
  }

  /** A line that could not be kept stays, to be mended. */
  async #close(ring: Ring): Promise<void> {
    this.corners = [];
    if (ring.length > 2 && !(await this.done(ring))) this.corners = ring;
  }
}
