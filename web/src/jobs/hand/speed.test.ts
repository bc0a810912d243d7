import { expect, test } from 'vitest';
import { aFace, aPart, aStem, at, dice, neighbour, plain, wavy, wood, zone } from '@/jobs/hand/examples';
import { snapped } from '@/jobs/hand/snap';
import { breachesAt } from '@/jobs/hand/verdict';
import type { GrainSample } from '@/lib/wire/GrainSample';

/** A picture's time on the screen, in milliseconds: the verdict has to be there before the next one. */
const FRAME = 16;
const MOVES = 200;
/** Moves before the clock runs: the first ones of a page are slow, and are over before a part is taken. */
const WARM = 200;

/** A slab of 2000 corners with 12 zones and 11 parts of 200 corners each, and grain from a photograph. */
function hardFace() {
  const others = Array.from({ length: 11 }, (_, index) => neighbour(index + 1, plain(wavy([-950 + index * 190, 130], 175, 160, 200, 0.05)), 3.1));
  const zones = Array.from({ length: 12 }, (_, index) => zone(wavy([-990 + index * 180, (index % 3) * 60 - 220], 24, 16, 40, 0.1), 4));
  const samples = Array.from({ length: 480 }, (_, index): GrainSample => ({
    at: [-1100 + (index % 48) * 46, -250 + Math.floor(index / 48) * 50],
    direction: 5 * Math.sin(index),
    sure: 0.9,
  }));
  return aFace([wood(plain(wavy([0, 0], 2300, 620, 2000, 0.01)), 4), ...zones, ...others], { overall: 0, samples });
}

test('a part is judged and drawn to contact before the next picture is due', () => {
  const face = hardFace();
  const part = aPart(plain(wavy([0, 0], 210, 150, 200, 0.05)), [aStem([60, 0], [110, 0], 12)]);
  const roll = dice(11);
  const took: number[] = [];
  const counts = { drawn: 0, amiss: 0, clear: 0 };
  for (let move = -WARM; move < MOVES; move++) {
    // A hand sweeps along a row of parts and over the zones below it.
    const share = ((move + WARM) % MOVES) / MOVES;
    const place = at(-850 + 1700 * share, -70 + 55 * Math.sin(share * 30) + 3 * roll(), 10 * Math.sin(share * 9));
    const start = performance.now();
    const laid = snapped(part, face, place, 8);
    const breaches = breachesAt(part, face, part.at(laid));
    if (move >= 0) took.push(performance.now() - start);
    counts.drawn += Number(laid !== place);
    counts[breaches.length ? 'amiss' : 'clear']++;
  }
  took.sort((a, b) => a - b);
  const [middle, late] = [took[MOVES / 2]!, took[Math.floor(MOVES * 0.95)]!];
  console.log(`figure: hand.verdict_p50_ms ${middle.toFixed(2)}\nfigure: hand.verdict_p95_ms ${late.toFixed(2)}`);
  expect(Math.min(counts.drawn, counts.amiss, counts.clear)).toBeGreaterThan(20);
  expect(late).toBeLessThan(FRAME);
});
