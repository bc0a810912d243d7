import type { Lines } from '@/jobs/hand/lines';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';

const RADIAN = Math.PI / 180;

/** A part's lines where they lie on a face. */
export class Posed {
  /** Its corners on the face. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  left = Infinity;
  bottom = Infinity;
  right = -Infinity;
  top = -Infinity;
  readonly #cos: number;
  readonly #sin: number;

  /** `lines` are those of the part's own drawing. */
  constructor(
    readonly lines: Lines,
    readonly place: Place,
  ) {
    this.#cos = Math.cos(place.turn * RADIAN);
    this.#sin = Math.sin(place.turn * RADIAN);
    this.x = new Float64Array(lines.count);
    this.y = new Float64Array(lines.count);
    for (let corner = 0; corner < lines.count; corner++) {
      const x = this.faceX(lines.x[corner]!, lines.y[corner]!);
      const y = this.faceY(lines.x[corner]!, lines.y[corner]!);
      this.x[corner] = x;
      this.y[corner] = y;
      this.left = Math.min(this.left, x);
      this.right = Math.max(this.right, x);
      this.bottom = Math.min(this.bottom, y);
      this.top = Math.max(this.top, y);
    }
  }

  /** A point of the part's own drawing as it lies on the face. */
  faceX(x: number, y: number): number {
    return this.place.at[0] + this.#wayX(x, y);
  }

  faceY(x: number, y: number): number {
    return this.place.at[1] + this.#wayY(x, y);
  }

  #wayX(x: number, y: number): number {
    return (this.place.mirrored ? -x : x) * this.#cos - y * this.#sin;
  }

  #wayY(x: number, y: number): number {
    return (this.place.mirrored ? -x : x) * this.#sin + y * this.#cos;
  }

  /** A point of the face as the part's own drawing counts. */
  ownX(x: number, y: number): number {
    return this.wayOwnX(x - this.place.at[0], y - this.place.at[1]);
  }

  ownY(x: number, y: number): number {
    return this.wayOwnY(x - this.place.at[0], y - this.place.at[1]);
  }

  /** A way on the face as the part's own drawing counts. */
  wayOwnX(dx: number, dy: number): number {
    const own = dx * this.#cos + dy * this.#sin;
    return this.place.mirrored ? -own : own;
  }

  wayOwnY(dx: number, dy: number): number {
    return dy * this.#cos - dx * this.#sin;
  }

  /** Whether a corner points at a spot of the face, as `Lines.pointsAt`. */
  pointsAt(corner: number, x: number, y: number, farthest: boolean): boolean {
    return this.lines.pointsAt(corner, this.ownX(x, y), this.ownY(x, y), farthest);
  }

  /** Into the part at one of its edges, on the face. */
  inward(edge: number): Point {
    const { x, y, endX, endY } = this.lines;
    const [dx, dy] = [endX[edge]! - x[edge]!, endY[edge]! - y[edge]!];
    const long = Math.hypot(dx, dy) || 1;
    return [this.#wayX(-dy / long, dx / long), this.#wayY(-dy / long, dx / long)];
  }
}
