import { contactsOf, type Contact } from '@/jobs/hand/apart';
import type { HandPart } from '@/jobs/hand/part';
import type { Posed } from '@/jobs/hand/posed';
import { breachesAt, missing, type Breach, type HandFace, type KnownThing } from '@/jobs/hand/verdict';
import { finePlace, shifted } from '@/jobs/pins';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';

/** A contact that is met as exactly as this, in millimetres, is met. */
const MET = 2e-4;
/** A contact moves along its lines as the part does; after so many steps it is met or let go. */
const STEPS = 6;
/** Two ways that differ by less than this, as a sine, make no corner. */
const CORNER = 0.26;
/** The same contact, looked at again from a little way off, leads off by nearly the same way. */
const ALIKE = 0.7;
/** Only so many contacts are looked at, and so many corners and single contacts tried. */
const CONTACTS = 8;
const TRIES = 4;
/** What was amiss before may not become worse by more than this. */
const NO_WORSE = 0.01;
const TURNED_NO_WORSE = 0.5;

/** A contact that the part may be drawn to: `gap` is how far it still is from what is kept clear. */
interface Draw {
  thing: KnownThing;
  gap: number;
  off: Point;
}

/**
 * The place drawn to touch what is kept clear, if that is no farther than `reach` millimetres: a
 * corner of two contacts before a single one. Never to a place where something new is amiss; and
 * a part that plainly lies over something is drawn to nothing.
 */
export function snapped(part: HandPart, face: HandFace, place: Place, reach: number): Place {
  const posed = part.at(place);
  const amiss = breachesAt(part, face, posed);
  if (amiss.some((it) => it.against.kind !== 'grain' && missing(it) > reach)) return place;
  const contacts = face.things.flatMap((thing) => contactsOf(posed, thing, thing.clear + reach).map((it) => drawOf(thing, it)));
  const draws = contacts.filter((it) => Math.abs(it.gap) <= reach).sort((a, b) => Math.abs(a.gap) - Math.abs(b.gap));
  for (const wish of wishesOf(draws.slice(0, CONTACTS), reach)) {
    const met = meet(part, place, wish, reach);
    if (met && isNoWorse(part, face, part.at(met), amiss)) return met;
  }
  return place;
}

function drawOf(thing: KnownThing, { way, off }: Contact): Draw {
  return { thing, gap: way - thing.clear, off };
}

/** Corners first, then single contacts, of both the nearest first. */
function wishesOf(draws: readonly Draw[], reach: number): Draw[][] {
  const pairs = draws.flatMap((one, index) => draws.slice(0, index).filter((it) => !isAlike(it, one)).map((other) => [other, one]));
  const far = new Map<Draw[], number>();
  for (const pair of pairs) {
    const move = moveTo(pair);
    if (move && Math.hypot(...move) <= reach * Math.SQRT2) far.set(pair, Math.hypot(...move));
  }
  const corners = [...far].sort((a, b) => a[1] - b[1]).map(([pair]) => pair);
  return [...corners.slice(0, TRIES), ...draws.slice(0, TRIES).map((it) => [it])];
}

/** The move that closes one gap, or two at once; nothing where two lie alongside. */
function moveTo([one, other]: readonly Draw[]): Point | null {
  if (!one) return null;
  if (!other) return [-one.gap * one.off[0], -one.gap * one.off[1]];
  const corner = one.off[0] * other.off[1] - one.off[1] * other.off[0];
  if (Math.abs(corner) < CORNER) return null;
  return [(other.gap * one.off[1] - one.gap * other.off[1]) / corner, (one.gap * other.off[0] - other.gap * one.off[0]) / corner];
}

/** The place where all of these are touched, found step by step (Newton's method); nothing if they cannot be. */
function meet(part: HandPart, place: Place, wish: Draw[], reach: number): Place | null {
  let [now, draws] = [place, wish];
  for (let step = 0; step < STEPS; step++) {
    const move = moveTo(draws);
    if (!move) return null;
    now = finePlace(shifted(now, ...move));
    if (Math.hypot(now.at[0] - place.at[0], now.at[1] - place.at[1]) > 2 * reach) return null;
    const posed = part.at(now);
    const next = draws.map((it) => again(posed, it, reach));
    if (!next.every((it) => it !== null)) return null;
    // A thousandth is as fine as a place is kept.
    if (next.every((it) => Math.abs(it.gap) < 1e-3 + MET)) return now;
    draws = next;
  }
  return null;
}

/** Whether these would soon be one contact. */
function isAlike(one: Draw, other: Draw): boolean {
  return one.thing === other.thing && one.off[0] * other.off[0] + one.off[1] * other.off[1] > ALIKE;
}

/** The same contact from where the part is now: of those that lead off alike, the nearest. */
function again(posed: Posed, was: Draw, reach: number): Draw | null {
  const { thing } = was;
  const all = contactsOf(posed, thing, thing.clear + reach).map((it) => drawOf(thing, it));
  return all.filter((it) => isAlike(it, was)).reduce<Draw | null>((best, it) => (best && best.gap <= it.gap ? best : it), null);
}

/** Whether nothing is amiss that was not before, and nothing is more so. */
function isNoWorse(part: HandPart, face: HandFace, posed: Posed, before: readonly Breach[]): boolean {
  const known = (it: Breach) => before.find((was) => isSame(was, it));
  const kept = (it: Breach) => {
    const was = known(it);
    return !!was && missing(it) <= missing(was) + (it.against.kind === 'grain' ? TURNED_NO_WORSE : NO_WORSE);
  };
  return breachesAt(part, face, posed).every(kept);
}

function isSame({ against: one }: Breach, { against: other }: Breach): boolean {
  if (one.kind === 'zone' && other.kind === 'zone') return one.zone === other.zone;
  if (one.kind === 'part' && other.kind === 'part') return one.part === other.part;
  if (one.kind === 'strip' && other.kind === 'strip') return one.strip === other.strip;
  return one.kind === other.kind;
}
