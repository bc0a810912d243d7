import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import type { Point } from '@/lib/wire/Point';

/** Touches one place: with the pointer, or with the keys. */
export class PointTool implements Tool {
  /** Where the keys are; `null` while the pointer points. */
  cursor = $state.raw<Point | null>(null);

  constructor(
    private readonly done: (at: Point) => unknown,
    private readonly leave: () => void,
  ) {}

  readonly keys = 'Arrow keys move the cross, Shift a little, Enter marks the place, Escape leaves';

  tap(at: Point): void {
    this.cursor = null;
    this.done(at);
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    const step = arrowStep(event);
    this.cursor ??= camera.toMm(camera.width / 2, camera.height / 2);
    if (step) {
      this.cursor = [this.cursor[0] + step[0], this.cursor[1] + step[1]];
      if (!camera.sees(this.cursor)) camera.lookAt(this.cursor);
    } else if (event.key === 'Enter' || event.key === ' ') this.done(this.cursor);
    else if (event.key === 'Escape') this.leave();
    else return false;
    return true;
  }
}
