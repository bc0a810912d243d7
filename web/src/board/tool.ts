import type { Camera } from '@/board/camera.svelte';
import type { Point } from '@/lib/wire/Point';

/** What the pointer and the keys do on a board while this tool is in hand. */
export interface Tool {
  /** A press; `true` keeps the pointer from moving the drawing. `reach` is a finger's breadth in millimetres. */
  down?(at: Point, reach: number): boolean;
  /** `loose` while Alt is held. */
  move?(at: Point, loose: boolean): void;
  up?(at: Point): void;
  /** A second finger came: what was begun is dropped. */
  cancel?(): void;
  /** A press that was not kept, and its release without a move between. */
  tap?(at: Point, reach: number): void;
  /** `true` if the key was for the tool. */
  key?(event: KeyboardEvent, camera: Camera): boolean;
  /** The same for a key with Control or Command, which are else the page's. */
  controlKey?(event: KeyboardEvent, camera: Camera): boolean;
}

/** How far an arrow key goes in millimetres: a little with Shift, plainly without. */
export function arrowStep(event: Pick<KeyboardEvent, 'key' | 'shiftKey'>, plain = 10, little = 1): Point | null {
  const step = event.shiftKey ? little : plain;
  switch (event.key) {
    case 'ArrowLeft':
      return [-step, 0];
    case 'ArrowRight':
      return [step, 0];
    case 'ArrowUp':
      return [0, step];
    case 'ArrowDown':
      return [0, -step];
    default:
      return null;
  }
}
