import { circlePath, outlineBox, outlinePath, ringPath, seatRing, type Mark } from '@/lib/draw';
import { boxAround, distance, pointFrom, type Box } from '@/lib/geometry';
import { showFineLength, showLength } from '@/lib/measure';
import type { Fixing } from '@/lib/wire/Fixing';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { Units } from '@/lib/wire/Units';
import type { WoodScrew } from '@/lib/wire/WoodScrew';

/** A drawing to scale: its lines, and the box that they fill. */
export interface Drawn {
  marks: Mark[];
  box: Box;
}

/** Wood shown beside a hole that has no foot, in millimetres. */
const BESIDE = 25;

const block = (left: number, right: number, low: number, high: number): Ring => [[left, low], [right, low], [right, high], [left, high]];

/** How far along the fixing's own line its holes lie from its middle. */
function stations({ at, along, holes }: Fixing): number[] {
  const ahead = pointFrom(at, along, 1);
  return holes.map((hole) => (hole[0] - at[0]) * (ahead[0] - at[0]) + (hole[1] - at[1]) * (ahead[1] - at[1]));
}

/** The cut along a fixing's holes: the part lies from 0 up, what holds it up below. */
export function sectionOf(fixing: Fixing): Drawn {
  const { held, top } = fixing;
  const at = stations(fixing);
  const reach = Math.max(0, ...at.map(Math.abs)) + BESIDE;
  if (held.is === 'screwed') {
    const half = held.length / 2;
    const outer = Math.max(...at.map(Math.abs));
    const marks: Mark[] = [
      { line: 'thick', path: ringPath(block(-half - 10, half + 10, 0, top)) },
      { line: 'thick', path: ringPath(block(-half, half, -held.height, 0)) },
      ...at.flatMap((x) => screwMarks(x, held.height, held.screw, held.screw.slot !== null && Math.abs(x) > outer / 2)),
    ];
    return { marks, box: boxAround([[-half - 10, -held.height], [half + 10, top]]) };
  }
  const wood: Mark = { line: 'thick', path: ringPath(block(-reach, reach, 0, top)) };
  const box = boxAround([[-reach, 0], [reach, top]]);
  if (held.is === 'sunk') {
    return { marks: [wood, { line: 'hidden', path: ringPath(block(-held.diameter / 2, held.diameter / 2, 0, held.depth)) }], box };
  }
  const widths = at.map((_, index) => (index && held.slot ? held.slot : held.hole) / 2);
  const holes = at.map((x, index): Mark => ({ line: 'hidden', path: ringPath(block(x - widths[index]!, x + widths[index]!, 0, top)) }));
  const screws = at.map((x): Mark => ({ line: 'thin', path: ringPath(block(x - held.screw / 2, x + held.screw / 2, 0, top)) }));
  return { marks: [wood, ...holes, ...screws], box };
}

/** One wood screw in a foot of a height: counterbore, hole or slot, the screw itself. */
function screwMarks(x: number, height: number, screw: WoodScrew, slotted: boolean): Mark[] {
  const seat = screw.counterbore - height;
  const wide = (slotted && screw.slot ? screw.slot : screw.hole) / 2;
  const [head, shank, pilot] = [screw.head / 2, screw.shank / 2, screw.pilot / 2];
  const tip = Math.min(screw.shank, screw.bite);
  const body: Ring = [[x - head, seat], [x + head, seat], [x + shank, seat + head], [x + shank, screw.bite - tip], [x, screw.bite], [x - shank, screw.bite - tip], [x - shank, seat + head]];
  const bore: Mark = { line: 'hidden', path: ringPath(block(x - screw.plug / 2, x + screw.plug / 2, -height, seat)) };
  return [
    ...(screw.counterbore > 0 ? [bore] : []),
    { line: 'hidden', path: ringPath(block(x - wide, x + wide, seat, 0)) },
    { line: 'hidden', path: ringPath(block(x - pilot, x + pilot, 0, screw.bite)) },
    { line: 'thin', path: ringPath(body) },
  ];
}

/** The part's underside, turned over its long side, with everything on it. */
export function undersideOf(outline: Outline, fixings: Fixing[]): Drawn {
  const over = ([x, y]: Point): Point => [x, -y];
  const turned: Outline = { outer: outline.outer.map(over), openings: outline.openings.map((it) => it.map(over)) };
  const each = fixings.flatMap(({ at, along, holes, held }): Mark[] => {
    const hole = held.is === 'screwed' ? held.screw.pilot : held.is === 'bolted' ? held.hole : held.diameter;
    const drilled: Mark = { line: 'thick', path: holes.map((it) => circlePath(over(it), Math.max(hole, 2) / 2)).join('') };
    if (held.is !== 'screwed') return [drilled];
    return [{ line: 'thin', path: ringPath(seatRing(over(at), -along, held.length, held.width)) }, drilled];
  });
  return { marks: [{ line: 'thick', path: outlinePath(turned) }, ...each], box: outlineBox(turned) };
}

/** Each fixing's number, beside its middle on the underside. */
export function numbersOn(fixings: Fixing[], scale: number): { at: Point; text: string }[] {
  return fixings.map(({ at, feature }) => ({ at: [at[0] + 11 / scale, -at[1]], text: `${feature}` }));
}

/** What the section shows, in words. */
export function fixingWords(fixing: Fixing, units: Units): string {
  const { held, top, holes } = fixing;
  const fine = (mm: number) => showFineLength(mm, units);
  const wood = `${showLength(top, units)} of wood above`;
  switch (held.is) {
    case 'screwed': {
      const { number, length, bite, slot } = held.screw;
      const slots = slot === null ? '' : `, outer holes slotted to ${fine(slot)}`;
      const left = `${fine(top - bite)} left over the tip`;
      return `${wood}, ${holes.length} × No. ${number} by ${showLength(length, units)}, ${fine(bite)} deep, ${left}${slots}`;
    }
    case 'bolted': {
      const [from, to] = holes;
      const apart = from && to ? `${showLength(distance(from, to), units)} apart` : '';
      return `${wood}, screws of ${fine(held.screw)} ${apart}, hole ${fine(held.hole)}${held.slot === null ? '' : `, the other slotted to ${fine(held.slot)}`}`;
    }
    case 'sunk':
      return `${wood}, ${fine(held.diameter)} wide, ${fine(held.depth)} deep, ${fine(top - held.depth)} left over it`;
  }
}

/** Fixings that are made alike, by what they are and how they sit. */
export function alike(fixings: Fixing[]): Fixing[][] {
  const groups = new Map<string, Fixing[]>();
  for (const it of fixings) {
    const key = JSON.stringify([it.held, it.top, stations(it).map((at) => at.toFixed(3))]);
    groups.set(key, [...(groups.get(key) ?? []), it]);
  }
  return [...groups.values()];
}

/** The name of what is held, with its numbers on the pattern: `Foot 2, 3`. */
export function fixingName(group: Fixing[]): string {
  const held = group[0]!.held;
  const name = held.is === 'screwed' ? (held.batten ? 'Batten' : 'Foot') : held.is === 'bolted' ? 'Handle' : held.holds === 'magnet' ? 'Magnet' : 'Threaded insert';
  return `${name} ${group.map((it) => it.feature).join(', ')}`;
}

