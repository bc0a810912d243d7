import type { Box } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** Pixels kept free around a drawing that is shown whole. */
const MARGIN = 28;
const CLOSEST = 40;

/** How a drawing in millimetres (y up) lies on the screen. */
export class Camera {
  width = $state(0);
  height = $state(0);
  /** Pixels in a millimetre. */
  scale = $state(1);
  /** The drawing's point at the upper left of the screen, y down. */
  x = $state(0);
  y = $state(0);

  #farthest = 0.01;

  /** Shows a whole box. */
  show(box: Box): void {
    const [across, up] = [Math.max(box.width, 1), Math.max(box.height, 1)];
    const margin = Math.min(MARGIN, this.width / 8, this.height / 8);
    const scale = Math.min((this.width - 2 * margin) / across, (this.height - 2 * margin) / up);
    this.scale = Math.max(scale, 0.001);
    this.#farthest = this.scale / 4;
    this.lookAt([box.left + box.width / 2, box.bottom + box.height / 2]);
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
    const scale = Math.min(CLOSEST, Math.max(this.#farthest, this.scale * factor));
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

  get transform(): string {
    return `scale(${this.scale}) translate(${-this.x} ${-this.y})`;
  }
}
