import type { Camera } from '@/board/camera.svelte';
import type { Tool } from '@/board/tool';

/** A finger's breadth, in pixels. */
export const REACH = 22;
/** A pointer that moved less than this has tapped. */
const TAP = 6;
const WHEEL = 0.0016;

type Spot = [px: number, py: number];

/** Pointers on a board: one moves the drawing or works the tool, two zoom. */
export class Pointers {
  #down = new Map<number, Spot>();
  #start: Spot = [0, 0];
  #strayed = false;
  #working = false;

  constructor(
    private readonly camera: Camera,
    private readonly tool: () => Tool | undefined,
  ) {}

  down(event: PointerEvent): void {
    if (event.pointerType === 'mouse' && event.button === 2) return;
    const [px, py] = this.#press(event);
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
    if (this.#down.size > 1) {
      if (this.#working) this.tool()?.cancel?.();
      this.#working = false;
      this.#strayed = true;
      return;
    }
    this.#start = [px, py];
    this.#strayed = false;
    this.#working = this.tool()?.down?.(this.camera.toMm(px, py), REACH / this.camera.scale) ?? false;
  }

  move(event: PointerEvent): void {
    const last = this.#down.get(event.pointerId);
    if (!last) return;
    const now = spotOf(event);
    if (Math.hypot(now[0] - this.#start[0], now[1] - this.#start[1]) > TAP) this.#strayed = true;
    if (this.#down.size > 1) this.#pinch(event.pointerId, last, now);
    else if (this.#working) this.tool()?.move?.(this.camera.toMm(...now), event.altKey);
    else if (this.#strayed) this.camera.pan(now[0] - last[0], now[1] - last[1]);
    this.#down.set(event.pointerId, now);
  }

  up(event: PointerEvent): void {
    if (!this.#down.delete(event.pointerId)) return;
    const now = spotOf(event);
    const at = this.camera.toMm(...now);
    if (this.#working) this.tool()?.up?.(at);
    else if (!this.#strayed && event.type === 'pointerup') this.tool()?.tap?.(at, REACH / this.camera.scale);
    this.#working = false;
  }

  /** The wheel zooms once the board is in hand; before that the page scrolls. */
  wheel(event: WheelEvent): void {
    const board = event.currentTarget as Element;
    if (!event.ctrlKey && !board.contains(document.activeElement)) return;
    event.preventDefault();
    this.camera.zoom(Math.exp(-event.deltaY * WHEEL), ...spotOf(event));
  }

  #press(event: PointerEvent): Spot {
    const now = spotOf(event);
    this.#down.set(event.pointerId, now);
    return now;
  }

  #pinch(id: number, last: Spot, now: Spot): void {
    const other = [...this.#down].find(([key]) => key !== id)?.[1];
    if (!other) return;
    const [before, after] = [span(last, other), span(now, other)];
    this.camera.pan((now[0] - last[0]) / 2, (now[1] - last[1]) / 2);
    if (before > 0) this.camera.zoom(after / before, (now[0] + other[0]) / 2, (now[1] + other[1]) / 2);
  }
}

function spotOf(event: MouseEvent): Spot {
  const box = (event.currentTarget as Element).getBoundingClientRect();
  return [event.clientX - box.left, event.clientY - box.top];
}

function span(a: Spot, b: Spot): number {
  return Math.hypot(a[0] - b[0], a[1] - b[1]);
}
