import { boxAround, directionOf, distance, middleOf, rectangle } from '@/lib/geometry';
import type { Layout } from '@/lib/wire/Layout';
import type { Panel } from '@/lib/wire/Panel';
import type { Ring } from '@/lib/wire/Ring';
import type { StripPlacement } from '@/lib/wire/StripPlacement';

/** A strip as it lies in its panel, and the wood that it will be cut from. */
export interface PanelStrip {
  /** From 1, the lower edge up. */
  number: number;
  piece: number;
  ring: Ring;
  /** How the piece's own drawing is carried to the panel, for SVG; `null` while the strip has no place. */
  carry: string | null;
}

/** The strips of a panel from the lower edge up, each with its own wood. */
export function stripsOf(panel: Panel, layout: Layout | null): PanelStrip[] {
  let bottom = 0;
  let number = 0;
  return panel.runs.flatMap((run) =>
    Array.from({ length: run.count }, () => {
      number += 1;
      const ring = rectangle({ left: 0, bottom, width: panel.length, height: run.width });
      bottom += run.width;
      const laid = layout?.strips.find((it) => it.strip.panel === panel.id && it.strip.strip === number);
      return { number, piece: run.piece, ring, carry: laid ? carryOf(laid, ring) : null };
    }),
  );
}

/** Lays the rough strip's middle on the strip's, its length along the panel. */
function carryOf({ outline }: StripPlacement, ring: Ring): string {
  const [fromX, fromY] = middleOf(boxAround(outline.outer));
  const [toX, toY] = middleOf(boxAround(ring));
  return `translate(${toX} ${-toY}) rotate(${lengthDirection(outline.outer)}) translate(${-fromX} ${fromY})`;
}

/** Which way the longest side of a ring runs, in degrees from -90 to 90. */
function lengthDirection(ring: Ring): number {
  const sides = ring.map((from, index) => [from, ring[(index + 1) % ring.length]!] as const);
  const [from, to] = sides.reduce((a, b) => (distance(...b) > distance(...a) ? b : a));
  const turn = directionOf(from, to);
  return turn > 90 ? turn - 180 : turn <= -90 ? turn + 180 : turn;
}
