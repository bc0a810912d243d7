import type { Box } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** Pixels kept free around a drawing that is shown whole; the rules are above it and to its left. */
export const FREE = { left: 30, top: 30, right: 16, bottom: 16 };
/** A point nearer to the edge than this is not plainly seen. */
const MARGIN = 28;
/** From so many times the whole view on, a drawing is looked at closely. */
const NEAR = 1.7;
const CLOSEST = 40;

/** How a drawing in millimetres (y up) lies on the screen. */
export class Camera {
  width = $state(0);
  height = $state(0);
  /** Pixels in a millimetre. */
  scale = $state(1);
  /** The scale that shows all of it. */
  whole = $state(1);
  /** The drawing's point at the upper left of the screen, y down. */
  x = $state(0);
  y = $state(0);

  /** Shows a whole box, `below` pixels over the lower edge. */
  show(box: Box, below = 0): void {
    const width = Math.max(this.width - FREE.left - FREE.right, this.width / 2);
    const height = Math.max(this.height - FREE.top - FREE.bottom - below, this.height / 2);
    const scale = Math.min(width / Math.max(box.width, 1), height / Math.max(box.height, 1));
    this.scale = this.whole = Math.max(scale, 0.001);
    this.x = box.left + box.width / 2 - (FREE.left + width / 2) / this.scale;
    this.y = -box.bottom - box.height / 2 - (FREE.top + height / 2) / this.scale;
  }

  /** Whether only a part of the drawing is looked at, closely. */
  get near(): boolean {
    return this.scale > this.whole * NEAR;
  }

  /** Brings a point to the middle. */
  lookAt([x, y]: Point): void {
    this.x = x - this.width / 2 / this.scale;
    this.y = -y - this.height / 2 / this.scale;
  }

  /** Moves the drawing by pixels. */
  pan(dx: number, dy: number): void {
    this.x -= dx / this.scale;
    this.y -= dy / this.scale;
  }

  /** Nearer or farther, the point under this pixel staying there. */
  zoom(factor: number, px = this.width / 2, py = this.height / 2): void {
    const scale = Math.min(CLOSEST, Math.max(this.whole / 4, this.scale * factor));
    this.x += px / this.scale - px / scale;
    this.y += py / this.scale - py / scale;
    this.scale = scale;
  }

  toMm(px: number, py: number): Point {
    return [this.x + px / this.scale, -(this.y + py / this.scale)];
  }

  /** Whether a point can be seen, and not just at the very edge. */
  sees([x, y]: Point): boolean {
    const [px, py] = [(x - this.x) * this.scale, (-y - this.y) * this.scale];
    return px > MARGIN && py > MARGIN && px < this.width - MARGIN && py < this.height - MARGIN;
  }

  /** What is seen of the drawing beside the rules. */
  get view(): Box {
    const [left, top] = this.toMm(FREE.left, FREE.top);
    const [right, bottom] = this.toMm(this.width, this.height);
    return { left, bottom, width: right - left, height: top - bottom };
  }

  get transform(): string {
    return `scale(${this.scale}) translate(${-this.x} ${-this.y})`;
  }
}
