import type { KnownThing, HandFace } from '@/jobs/hand/verdict';
import { Fibres } from '@/jobs/hand/fibres';
import { Lines } from '@/jobs/hand/lines';
import { HandPart } from '@/jobs/hand/part';
import { rectangle } from '@/lib/geometry';
import type { Feature } from '@/lib/wire/Feature';
import type { GrainField } from '@/lib/wire/GrainField';
import type { Outline } from '@/lib/wire/Outline';
import type { Place } from '@/lib/wire/Place';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { ZoneRule } from '@/lib/wire/ZoneRule';
import type { Zone } from '@/lib/wire/Zone';

/** Small invented things for the tests beside this file. */

/** Numbers from 0 to 1 that are the same at every run (the minimal standard generator of Park and Miller 1988). */
export function dice(seed: number): () => number {
  let state = seed % 2147483647 || 1;
  return () => {
    state = (state * 48271) % 2147483647;
    return state / 2147483647;
  };
}

/** A ring around a middle whose corners lie between two radii; long and narrow bays come with it. */
export function blob([x, y]: Point, least: number, most: number, corners: number, roll: () => number): Ring {
  return Array.from({ length: corners }, (_, index): Point => {
    const turn = (2 * Math.PI * index) / corners;
    const far = least + roll() * (most - least);
    return [x + far * Math.cos(turn), y + far * Math.sin(turn)];
  });
}

/** A ring with a smooth, wavy line, as a sawn shape or a slab's edge has. */
export function wavy([x, y]: Point, across: number, up: number, corners: number, wave: number): Ring {
  return Array.from({ length: corners }, (_, index): Point => {
    const turn = (2 * Math.PI * index) / corners;
    const far = 1 + wave * Math.sin(7 * turn) + wave * 0.5 * Math.cos(13 * turn);
    return [x + (across / 2) * far * Math.cos(turn), y + (up / 2) * far * Math.sin(turn)];
  });
}

export const plain = (outer: Ring): Outline => ({ outer, openings: [] });
export const box = (left: number, bottom: number, width: number, height: number): Ring => rectangle({ left, bottom, width, height });
export const at = (x: number, y: number, turn = 0, mirrored = false): Place => ({ at: [x, y], turn, mirrored });

export function aPart(outline: Outline, features: Feature[] = []): HandPart {
  return new HandPart({ want: 1, copy: 1 }, { id: 1, name: 'Part', origin: { from: 'family', family: { family: 'round', diameter: 1 } }, outline, features });
}

export function aStem(from: Point, to: Point, within: number): Feature {
  return { id: 1, kind: { is: 'stem', axis: { from, to }, within, load: 100 } };
}

export const wood = (outline: Outline, clear: number): KnownThing => ({ lines: new Lines(outline), within: true, clear, against: { kind: 'edge' } });

export function aZone(id: number, area: Ring): Zone {
  return { id, kind: 'knot', area, through: true, note: '' };
}

export function aZoneRule(area: Ring, clear: number): ZoneRule {
  return { face: { of: 'piece', id: 1 }, kind: 'knot', area, wants: [1], clear };
}

export function zone(area: Ring, clear: number): KnownThing {
  return { lines: new Lines(plain(area)), within: false, clear, against: { kind: 'zone', zone: aZoneRule(area, clear) } };
}

export function neighbour(copy: number, outline: Outline, clear: number): KnownThing {
  return { lines: new Lines(outline), within: false, clear, against: { kind: 'part', part: { want: 2, copy } } };
}

export function aFace(things: KnownThing[], grain: GrainField = { overall: 0, samples: [] }): HandFace {
  return { things, fibres: new Fibres(grain) };
}
