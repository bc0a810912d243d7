/** How many times larger than it is a change may be drawn. */
const TIMES = [100, 50, 20, 10, 5, 2];
/** A change takes at most this share of the board on the drawing. */
const MOST_SHARE = 0.16;
/** The pith lies this many board widths off: the rings bend, but little over the width. */
const PITH_AWAY = 2;

/** How many times larger than it is a change is drawn, so that it is seen and the board still looks like one. */
export function timesLarger(width: number, changes: readonly number[]): number {
  const most = Math.max(...changes.map(Math.abs)) / width;
  return TIMES.find((it) => it * most <= MOST_SHARE) ?? 1;
}

/** Rings on the end of a board that is drawn around 0, 0: circles about the pith, y down. */
export interface Rings {
  pith: { x: number; y: number };
  radii: number[];
}

/** Rings that lie at `degrees` against the face in the middle of the board, one every `step`. */
export function ringsOf(width: number, height: number, degrees: number, step: number): Rings {
  const turn = (degrees * Math.PI) / 180;
  const away = PITH_AWAY * width;
  const pith = { x: away * Math.sin(turn), y: away * Math.cos(turn) };
  const [right, low] = [width / 2, height / 2];
  const nearest = Math.hypot(Math.max(0, pith.x - right), Math.max(0, pith.y - low));
  const farthest = Math.hypot(pith.x + right, pith.y + low);
  const first = Math.ceil(nearest / step);
  return { pith, radii: Array.from({ length: Math.floor(farthest / step) - first + 1 }, (_, index) => (first + index) * step) };
}

/** How a board is sawn that has its rings at such an angle, in words. */
export function sawnWords(degrees: number): string {
  if (degrees < 30) return 'flat-sawn';
  return degrees <= 60 ? 'rift-sawn' : 'quarter-sawn';
}
