import { groundOf, onScene, type Ground } from '@/jobs/scene';
import { partId, samePart } from '@/jobs/want';
import { outlineBox } from '@/lib/draw';
import { boxAround, boxAt, distance, middleOf, overlap, placePoint, type Box } from '@/lib/geometry';
import type { Finding } from '@/lib/wire/Finding';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Job } from '@/lib/wire/Job';
import type { Placement } from '@/lib/wire/Placement';
import type { Point } from '@/lib/wire/Point';
import type { Spot } from '@/lib/wire/Spot';

/** Where a finding is seen on the drawing of the job. */
export interface Lit {
  /** Points to look at, on the drawing. */
  at: Point[];
  /** Parts whose outline lights up, by their ids. */
  parts: string[];
  /** Faces whose outline lights up. */
  faces: string[];
}

const nowhere: Lit = { at: [], parts: [], faces: [] };

/** The place of a spot; empty if it is not on the drawing. */
export function placeOf(spot: Spot, grounds: readonly Ground[], placements: readonly Placement[], job: Job): Lit {
  switch (spot.on) {
    case 'job':
      return nowhere;
    case 'unplaced':
      return wherePinned(grounds, placements.filter((it) => samePart(it.part, spot.part)));
    case 'piece':
      return wholeFace({ of: 'piece', id: spot.piece }, grounds);
    case 'panel':
      return wholeFace({ of: 'panel', id: spot.panel }, grounds);
    case 'part':
      return onPart(spot.face, spot.at, grounds, placements.filter((it) => samePart(it.part, spot.part)));
    case 'pattern': {
      const wants = job.wants.filter((it) => it.pattern === spot.pattern).map((it) => it.id);
      return onPattern(spot.at, grounds, placements.filter((it) => wants.includes(it.part.want)));
    }
  }
}

/** Told at the face's corner, where it covers neither a part nor a name. */
function wholeFace(face: FaceKey, grounds: readonly Ground[]): Lit {
  const ground = groundOf(grounds, face);
  if (!ground) return nowhere;
  const { left, bottom, height } = outlineBox(ground.outline);
  return { at: [onScene(ground, [left, bottom + height])], parts: [], faces: [ground.key] };
}

function onPart(face: FaceKey, at: Point, grounds: readonly Ground[], placements: readonly Placement[]): Lit {
  const ground = groundOf(grounds, face);
  if (!ground) return nowhere;
  return { at: [onScene(ground, at)], parts: placements.map((it) => partId(it.part)), faces: [] };
}

/** A part that the plan could not lay still lies where the maker has pinned it. */
function wherePinned(grounds: readonly Ground[], placements: readonly Placement[]): Lit {
  return onPattern(null, grounds, placements);
}

/** Every part made after the pattern, at the same place of its own drawing. */
function onPattern(at: Point | null, grounds: readonly Ground[], placements: readonly Placement[]): Lit {
  const points = placements.flatMap((it) => {
    const ground = groundOf(grounds, it.face);
    const seen = at ? placePoint(it.place, at) : middleOf(boxAround(it.outline.outer));
    return ground ? [onScene(ground, seen)] : [];
  });
  return { at: points, parts: placements.map((it) => partId(it.part)), faces: [] };
}

/** A finding's number on the drawing and in the list, and the point that it marks. */
export interface Flag {
  index: number;
  grade: Finding['grade'];
  at: Point;
  of: Point;
}

/** Steps from the marked place where a flag may stand instead: to its right first, least of all to its left, where a face's edge is. */
const steps: Point[] = Array.from({ length: 81 }, (_, index): Point => [(index % 9) - 4, Math.floor(index / 9) - 4]).sort(
  (a, b) => burden(a) - burden(b),
);

function burden([x, y]: Point): number {
  return Math.hypot(x < 0 ? 2.2 * x : x, y < 0 ? 1.5 * y : 1.8 * y);
}

/** Neighbours one step apart are apart enough, whatever the rounding. */
const ALMOST = 0.999;

/** One flag for each place of each finding, clear of each other and of the names that stand already. */
export function flagsOf(findings: readonly Finding[], place: (spot: Spot) => Lit, apart: number, names: readonly Box[] = []): Flag[] {
  const flags: Flag[] = [];
  const size = { width: apart, height: apart };
  const free = (at: Point) => {
    const box = boxAt(at, size);
    return flags.every((it) => distance(it.at, at) >= apart * ALMOST) && !names.some((it) => overlap(it, box));
  };
  findings.forEach((finding, index) => {
    for (const of of place(finding.spot).at) {
      const spots = steps.map(([x, y]): Point => [of[0] + x * apart, of[1] + y * apart]);
      flags.push({ index, grade: finding.grade, of, at: spots.find(free) ?? of });
    }
  });
  return flags;
}

/** The flag under a finger. */
export function flagAt(flags: readonly Flag[], [x, y]: Point, reach: number): Flag | undefined {
  const far = (it: Flag) => Math.hypot(it.at[0] - x, it.at[1] - y);
  return [...flags].sort((a, b) => far(a) - far(b)).find((it) => far(it) < reach);
}
