import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import { distance } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** Draws one straight line from a place to another: by dragging, or with the keys. */
export class StrokeTool implements Tool {
  from = $state.raw<Point | null>(null);
  to = $state.raw<Point | null>(null);
  cursor = $state.raw<Point | null>(null);

  #reach = 1;

  constructor(
    private readonly done: (from: Point, to: Point) => unknown,
    private readonly leave: () => void,
  ) {}

  readonly keys = 'Arrow keys move the cross, Enter sets the beginning and then the end of the line, Escape leaves';

  /** What is drawn so far. */
  get line(): Point[] {
    return this.from && this.to ? [this.from, this.to] : [];
  }

  down(at: Point, reach: number): boolean {
    [this.from, this.to, this.cursor, this.#reach] = [at, at, null, reach];
    return true;
  }

  move(at: Point): void {
    this.to = at;
  }

  up(at: Point): void {
    const from = this.from;
    this.cancel();
    if (from && distance(from, at) > this.#reach / 2) this.done(from, at);
  }

  cancel(): void {
    this.from = this.to = null;
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    const step = arrowStep(event);
    this.cursor ??= camera.toMm(camera.width / 2, camera.height / 2);
    if (step) {
      this.cursor = [this.cursor[0] + step[0], this.cursor[1] + step[1]];
      if (this.from) this.to = this.cursor;
      if (!camera.sees(this.cursor)) camera.lookAt(this.cursor);
    } else if (event.key === 'Enter' || event.key === ' ') this.#set(this.cursor);
    else if (event.key === 'Escape') this.leave();
    else return false;
    return true;
  }

  #set(at: Point): void {
    const from = this.from;
    if (!from) [this.from, this.to] = [at, at];
    else if (distance(from, at) > 1) {
      this.cancel();
      this.done(from, at);
    }
  }
}
