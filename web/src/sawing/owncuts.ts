import { groundAt, onFace, type Ground } from '@/jobs/scene';
import { contains, distance } from '@/lib/geometry';
import { Trouble } from '@/lib/problem';
import type { BladeId } from '@/lib/wire/BladeId';
import type { Job } from '@/lib/wire/Job';
import type { OwnCut } from '@/lib/wire/OwnCut';
import type { Point } from '@/lib/wire/Point';

/** Along a drawn way it is looked every so many millimetres which wood lies under it. */
const LOOKED = 5;
/** Tenths of a millimetre are as fine as a hand draws. */
const tidy = (it: number): number => Math.round(it * 10) / 10;

/** The cut that a way on the drawing means: on the face under most of it. Throws a `Trouble` if there is no wood under it. */
export function ownCutOf(way: readonly Point[], grounds: readonly Ground[]): OwnCut {
  const ground = groundUnder(way, grounds);
  if (!ground) {
    const hint = 'begin beside an edge of the wood, go across it, and end beside another edge';
    throw new Trouble({ message: 'expected a way across a piece of wood, found none under it', hint });
  }
  const on = way.map((it) => onFace(ground, it)).map(([x, y]): Point => [tidy(x), tidy(y)]);
  return { face: ground.face, way: on };
}

function groundUnder(way: readonly Point[], grounds: readonly Ground[]): Ground | undefined {
  const spots = way.slice(1).flatMap((to, index) => spotsBetween(way[index]!, to));
  const under = (ground: Ground) => spots.filter((it) => contains(ground.outline.outer, onFace(ground, it))).length;
  const first = groundAt(grounds, way[0] ?? [0, 0]);
  const order = [...grounds].sort((a, b) => under(b) - under(a) || Number(b === first) - Number(a === first));
  const [most] = order;
  return most && under(most) > 0 ? most : undefined;
}

function spotsBetween([ax, ay]: Point, [bx, by]: Point): Point[] {
  const count = Math.max(1, Math.round(distance([ax, ay], [bx, by]) / LOOKED));
  return Array.from({ length: count }, (_, index): Point => {
    const share = (index + 0.5) / count;
    return [ax + (bx - ax) * share, ay + (by - ay) * share];
  });
}

export function withOwnCut(job: Job, cut: OwnCut): Job {
  return { ...job, choices: { ...job.choices, own_cuts: [...job.choices.own_cuts, cut] } };
}

/** Own cuts have no number of their own; their place in the list is it. */
export function withoutOwnCut(job: Job, index: number): Job {
  return { ...job, choices: { ...job.choices, own_cuts: job.choices.own_cuts.toSpliced(index, 1) } };
}

/** The cut with this blade, or with the program's choice. */
export function withOwnBlade(job: Job, index: number, blade: BladeId | null): Job {
  const own_cuts = job.choices.own_cuts.map((it, at) => {
    if (at !== index) return it;
    const { face, way } = it;
    return blade === null ? { face, way } : { face, blade, way };
  });
  return { ...job, choices: { ...job.choices, own_cuts } };
}

/** How long a way is, in millimetres. */
export function longOf(way: readonly Point[]): number {
  return way.slice(1).reduce((sum, it, index) => sum + distance(way[index]!, it), 0);
}
