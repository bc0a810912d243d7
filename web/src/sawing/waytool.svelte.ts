import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import { distance } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** Two points nearer than this are one, in millimetres. */
const APART = 1;

/** Draws the way of a cut, point by point: with the pointer, or with the keys. */
export class WayTool implements Tool {
  /** What is drawn so far. */
  line = $state.raw<Point[]>([]);
  /** Where the keys are; `null` while the pointer draws. */
  cursor = $state.raw<Point | null>(null);

  /** `done` gets the way and says whether it was kept; `leave` ends the drawing without one. */
  constructor(
    private readonly done: (way: Point[]) => Promise<boolean>,
    private readonly leave: () => void,
  ) {}

  readonly keys =
    'Arrow keys move the cross, Shift a little, Enter sets a point, Backspace takes the last one back, F finishes the cut, Escape leaves';

  tap(at: Point): void {
    this.cursor = null;
    this.#set(at);
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    const step = arrowStep(event);
    this.cursor ??= this.line.at(-1) ?? camera.toMm(camera.width / 2, camera.height / 2);
    if (step) this.#move(step, camera);
    else if (event.key === 'Enter' || event.key === ' ') this.#set(this.cursor);
    else if (event.key === 'Backspace') this.takeBack();
    else if (event.key === 'f' || event.key === 'F') void this.finish();
    else if (event.key === 'Escape') this.leave();
    else return false;
    return true;
  }

  #move([dx, dy]: Point, camera: Camera): void {
    const [x, y] = this.cursor!;
    this.cursor = [x + dx, y + dy];
    if (!camera.sees(this.cursor)) camera.lookAt(this.cursor);
  }

  #set(at: Point): void {
    const last = this.line.at(-1);
    if (!last || distance(last, at) >= APART) this.line = [...this.line, at];
  }

  takeBack(): void {
    this.line = this.line.slice(0, -1);
  }

  /** Whether there is enough of a way to finish. */
  get finishable(): boolean {
    return this.line.length > 1;
  }

  /** A way that could not be kept stays, to be mended. */
  async finish(): Promise<void> {
    const way = this.line;
    if (!this.finishable) return;
    this.line = [];
    if (!(await this.done(way))) this.line = way;
    else this.cursor = null;
  }

  cancel(): void {
    this.line = [];
    this.cursor = null;
  }
}
