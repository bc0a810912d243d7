import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import { simplified } from '@/lib/geometry';
import type { EdgeStroke } from '@/lib/wire/EdgeStroke';
import type { Point } from '@/lib/wire/Point';

/** A stroke may stray so far from its corners, in fingers' breadths. */
const STRAY = 0.04;

/** Draws free strokes that say what is wood and what is not: with the pointer, or with the keys. */
export class StrokesTool implements Tool {
  /** What the next stroke says. */
  wood = $state(true);
  /** Those drawn so far. */
  strokes = $state.raw<EdgeStroke[]>([]);
  /** The one in hand. */
  line = $state.raw<Point[]>([]);
  /** Where the keys are; `null` while the pointer draws. */
  cursor = $state.raw<Point | null>(null);

  #reach = 1;

  constructor(
    private readonly done: () => unknown,
    private readonly leave: () => void,
  ) {}

  readonly keys =
    'Arrow keys move the cross, Enter begins a stroke and ends it, W means wood, N not wood, Backspace takes the last stroke back, M mends the edge, Escape leaves';

  down(at: Point, reach: number): boolean {
    [this.line, this.#reach, this.cursor] = [[at], reach, null];
    return true;
  }

  move(at: Point): void {
    this.line = [...this.line, at];
  }

  /** A touch is a stroke too: a dot. */
  up(at: Point): void {
    this.#keep(simplified([...this.line, at], this.#reach * STRAY));
  }

  /** Drops the stroke in hand. */
  cancel(): void {
    this.line = [];
  }

  takeBack(): void {
    if (this.line.length) this.line = [];
    else this.strokes = this.strokes.slice(0, -1);
  }

  clear(): void {
    this.line = [];
    this.strokes = [];
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    const step = arrowStep(event);
    const key = event.key.toLowerCase();
    this.cursor ??= camera.toMm(camera.width / 2, camera.height / 2);
    if (step) this.#go([this.cursor[0] + step[0], this.cursor[1] + step[1]], camera);
    else if (key === 'enter' || key === ' ') this.#set(this.cursor);
    else if (key === 'w' || key === 'n') this.wood = key === 'w';
    else if (key === 'backspace') this.takeBack();
    else if (key === 'm') this.done();
    else if (key === 'escape') this.leave();
    else return false;
    return true;
  }

  #go(to: Point, camera: Camera): void {
    this.cursor = to;
    if (this.line.length) this.line = [...this.line, to];
    if (!camera.sees(to)) camera.lookAt(to);
  }

  #set(at: Point): void {
    if (this.line.length) this.#keep(this.line);
    else this.line = [at];
  }

  #keep(line: Point[]): void {
    this.strokes = [...this.strokes, { wood: this.wood, line }];
    this.line = [];
  }
}
