import { simplified } from '@/lib/geometry';
import { WoodGrid } from '@/sawing/grid';
import type { CutSheet } from '@/lib/wire/CutSheet';
import type { Outline } from '@/lib/wire/Outline';
import type { Ring } from '@/lib/wire/Ring';

/**
 * What is in the hands at each cut: around the wood that hangs together with its way
 * when it begins, up to a few millimetres too large. What was parted from it before lies aside.
 */
export function heldPieces(wood: Outline, sheet: CutSheet): Ring[] {
  const grid = new WoodGrid(wood);
  let last = wood.outer;
  return sheet.plan.cuts.map((cut, index) => {
    const ways = cut.legs.flatMap((it) => (it.is === 'sawn' ? [it.way] : []));
    const under = grid.pieceUnder(ways.flat());
    // A way beside all wood takes nothing else in hand.
    last = under.length ? smoothed(under, grid.step) : last;
    const figures = sheet.cuts[index];
    ways.forEach((it) => grid.saw(it, figures?.kerf ?? 0));
    figures?.falls.forEach((it) => grid.takeOff(it.outline));
    return last;
  });
}

/** The steps of the grid are drawn straight; the ring is opened at its far corners, so that the line keeps both. */
function smoothed(ring: Ring, step: number): Ring {
  if (ring.length < 8) return ring;
  const half = Math.floor(ring.length / 2);
  const [one, other] = [ring.slice(0, half + 1), [...ring.slice(half), ring[0]!]];
  return [...simplified(one, step).slice(0, -1), ...simplified(other, step).slice(0, -1)];
}
