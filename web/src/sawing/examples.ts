import { rectangle } from '@/lib/geometry';
import type { CutFigures } from '@/lib/wire/CutFigures';
import type { CutSheet } from '@/lib/wire/CutSheet';
import type { Falling } from '@/lib/wire/Falling';
import type { Outline } from '@/lib/wire/Outline';
import type { Point } from '@/lib/wire/Point';
import type { SawCut } from '@/lib/wire/SawCut';
import type { SawLeg } from '@/lib/wire/SawLeg';

/** Small invented things for the tests beside this file: a plank of 400 by 100 mm, sawn in two, and the left half trimmed. */
export const plank: Outline = { outer: rectangle({ left: 0, bottom: 0, width: 400, height: 100 }), openings: [] };

export const sawn = (...way: Point[]): SawLeg => ({ is: 'sawn', way });

export function aCut(legs: SawLeg[], kind: SawCut['kind'] = 'outline'): SawCut {
  return { kind, parts: [{ want: 1, copy: 1 }], blade: 1, legs };
}

export function aFall(left: number, bottom: number, width: number, height: number, after: number): Falling {
  return { outline: { outer: rectangle({ left, bottom, width, height }), openings: [] }, area: width * height, after };
}

export function someFigures(falls: Falling[] = []): CutFigures {
  return { words: 'straight, 100 mm', width: 6, kerf: 2, reach: 150, held: plank, work: 400, overhang: 0, falls };
}

export function aSheet(...cuts: [SawCut, CutFigures][]): CutSheet {
  const plan = { face: { of: 'piece' as const, id: 1 }, holes: [], cuts: cuts.map(([it]) => it) };
  return { apart: [], plan, cuts: cuts.map(([, it]) => it), left: [], throat: 340, table: 400 };
}

/** Down through the middle, then along the left half's upper edge, whose strip comes off at the end. */
export const twoCuts: CutSheet = aSheet(
  [aCut([sawn([200, 110], [200, -10])], 'parting'), someFigures()],
  [aCut([sawn([210, 80], [-10, 80])], 'trim'), someFigures([aFall(0, 81, 199, 19, 210)])],
);
