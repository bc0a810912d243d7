import { placeOutline, rectangle } from '@/lib/geometry';
import type { Face } from '@/lib/wire/Face';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Finding } from '@/lib/wire/Finding';
import type { Job } from '@/lib/wire/Job';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Piece } from '@/lib/wire/Piece';
import type { Place } from '@/lib/wire/Place';
import type { Placement } from '@/lib/wire/Placement';
import type { Spot } from '@/lib/wire/Spot';

/** Small invented things for the tests beside this file: boards of 100 by 40 mm on plain planks. */
export const board: Pattern = {
  id: 7,
  name: 'Board',
  origin: { from: 'family', family: { family: 'rectangle', length: 100, width: 40, corner: 0 } },
  outline: { outer: rectangle({ left: 0, bottom: 0, width: 100, height: 40 }), openings: [] },
  features: [],
};

export function aPiece(id: number, width: number, height: number): Piece {
  const face: Face = {
    outline: { outer: rectangle({ left: 0, bottom: 0, width, height }), openings: [] },
    picture: null,
    zones: [],
    candidates: [],
    grain: { overall: 0, samples: [] },
    doubt: 0,
  };
  return { id, name: `Plank ${id}`, species: 'hard_maple', form: 'plank', thickness: 30, moisture: null, price: null, place: '', face, far_face: null };
}

export function aJob(): Job {
  return {
    id: 1, name: 'Job', panels: [], pieces: [1, 2], people: [], due: '2026-12-01', finish: 'oil', glue: 'pva', seed: 1,
    wants: [{ id: 1, pattern: board.id, count: 2, thickness: 19, source: { of: 'pieces' }, worth: 1, may_mirror: false, underside_shows: false }],
    home: { temperature: 21, humidity: 40 },
    choices: { pins: [], blades: {}, allowed_zones: [], finished: 'both', sets: [], shows: [], saving: 'pieces', blades_left: [], sawing: 'quick', own_cuts: [] },
  };
}

export function aPlacement(want: number, copy: number, of: FaceKey['of'], id: number, place: Place = { at: [10, 10], turn: 0, mirrored: false }): Placement {
  return { part: { want, copy }, face: { of, id }, place, outline: placeOutline(place, board.outline), pinned: false };
}

export function aFinding(spot: Spot): Finding {
  const figure = { name: 'f', value: '1', formula: 'f', inputs: [], source: 's' };
  return { grade: 'mend', rule: 'r', what: 'w', spot, figure, limit: '2', why: 'y', mendings: [] };
}
