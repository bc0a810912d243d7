import { linePath, outlinePath } from '@/lib/draw';
import { between, turnedAbout, Way, type Pose } from '@/sawing/pose';
import type { CutSheet } from '@/lib/wire/CutSheet';
import type { Point } from '@/lib/wire/Point';
import type { SawCut } from '@/lib/wire/SawCut';

/** What is done at this moment: sawn, turned in a hole, led back out of a cut, left to fall, or led to where the next cut begins. */
export type Doing = 'sawn' | 'turned' | 'back' | 'rest' | 'led';

/** A stretch of the sequence in which one thing is done. */
interface Stretch {
  doing: Doing;
  /** The cut's place in the order, from 0. */
  cut: number;
  /** Where it begins on the whole way. */
  begin: number;
  long: number;
  /** How the blade stands so far along it. */
  pose: (far: number) => Pose;
}

/** The slot of a sawn leg: drawn as far as the teeth have come. */
export interface Slot {
  cut: number;
  path: string;
  kerf: number;
  begin: number;
  long: number;
}

/** A piece of waste, and where on the whole way it comes off. */
export interface Fall {
  cut: number;
  path: string;
  begin: number;
}

/** The blade in the work at one moment. */
export interface Moment {
  doing: Doing;
  cut: number;
  pose: Pose;
  /** How far the teeth have come along this cut. */
  sawn: number;
}

/** Turning counts as so much way for each degree, in millimetres: a quarter takes as long as an inch and a half of sawing. */
const TURN_WAY = 0.42;
/** A piece that came off is gone after so much of the way. */
export const FADES = 24;
/** Leading the work to the next cut counts as so much way. */
const LED = 60;

/** All that is done at the blade for one face, as one way from beginning to end. */
export class Sequence {
  readonly slots: Slot[] = [];
  readonly falls: Fall[] = [];
  readonly #stretches: Stretch[] = [];
  /** Where each cut begins and where its last tooth is out, on the whole way. */
  readonly #spans: { begin: number; sawn: number }[] = [];
  #long = 0;

  constructor(sheet: CutSheet) {
    sheet.plan.cuts.forEach((cut, index) => this.#add(cut, index, sheet));
  }

  /** How long it is: all sawing, and turning and leading by what they count as. */
  get long(): number {
    return this.#long;
  }

  get count(): number {
    return this.#spans.length;
  }

  /** Where a cut begins, from 0; the end for one behind the last. */
  beginOf(cut: number): number {
    return this.#spans[cut]?.begin ?? this.#long;
  }

  at(far: number): Moment {
    const stretch = this.#stretches.findLast((it) => it.begin <= far) ?? this.#stretches[0];
    if (!stretch) return { doing: 'rest', cut: 0, pose: { at: [0, 0], heading: 0 }, sawn: 0 };
    const within = Math.min(Math.max(far - stretch.begin, 0), stretch.long);
    return { doing: stretch.doing, cut: stretch.cut, pose: stretch.pose(within), sawn: this.#sawnIn(stretch.cut, far) };
  }

  #sawnIn(cut: number, far: number): number {
    return this.slots.reduce((sum, it) => (it.cut === cut ? sum + sawnOf(it, far) : sum), 0);
  }

  /** What is left to see of a piece that comes off, from 1 down to 0. */
  leftOf(fall: Fall, far: number): number {
    return Math.min(1, Math.max(0, 1 - (far - fall.begin) / FADES));
  }

  #add(cut: SawCut, index: number, sheet: CutSheet): void {
    const figures = sheet.cuts[index];
    const before = this.#stretches.at(-1);
    const first = beginOf(cut);
    if (before && first) this.#lead(index, before.pose(before.long), first);
    this.#spans.push({ begin: this.#long, sawn: this.#long });
    for (const leg of cut.legs) {
      if (leg.is === 'sawn') this.#saw(index, leg.way, figures?.kerf ?? 0);
      else this.#turn(index, leg.about, leg.by);
    }
    const last = this.#stretches.at(-1);
    if (!last) return;
    this.#spans.at(-1)!.sawn = this.#long;
    for (const fall of figures?.falls ?? []) {
      this.falls.push({ cut: index, path: outlinePath(fall.outline), begin: this.#whereSawn(index, fall.after) });
    }
    if (cut.kind === 'relief') this.#back(index, cut);
    const stands = this.#stretches.at(-1)!;
    const pose = stands.pose(stands.long);
    this.#push('rest', index, FADES, () => pose);
  }

  #push(doing: Doing, cut: number, long: number, pose: (far: number) => Pose): void {
    this.#stretches.push({ doing, cut, begin: this.#long, long, pose });
    this.#long += long;
  }

  #saw(cut: number, points: Point[], kerf: number): void {
    const way = new Way(points);
    this.slots.push({ cut, path: linePath(points), kerf, begin: this.#long, long: way.long });
    this.#push('sawn', cut, way.long, (far) => way.at(far));
  }

  #turn(cut: number, about: Point, by: number): void {
    const before = this.#stretches.at(-1);
    if (!before) return;
    const from = before.pose(before.long);
    const long = Math.abs(by) * TURN_WAY;
    this.#push('turned', cut, long, (far) => turnedAbout(from, about, long > 0 ? (by * far) / long : by));
  }

  /** Straight back out of the slot, the teeth heading as they did. */
  #back(cut: number, { legs }: SawCut): void {
    const sawn = legs.flatMap((it) => (it.is === 'sawn' ? it.way : []));
    const way = new Way(sawn);
    this.#push('back', cut, way.long, (far) => way.at(way.long - far));
  }

  #lead(cut: number, from: Pose, to: Pose): void {
    this.#push('led', cut, LED, (far) => between(from, to, far / LED));
  }

  /** Where on the whole way the teeth have come so far along a cut. */
  #whereSawn(cut: number, after: number): number {
    let left = after;
    for (const slot of this.slots.filter((it) => it.cut === cut)) {
      if (left <= slot.long) return slot.begin + left;
      left -= slot.long;
    }
    return this.#spans[cut]?.sawn ?? this.#long;
  }
}

/** How far the teeth have come along a slot. */
export function sawnOf({ begin, long }: Slot, far: number): number {
  return Math.min(long, Math.max(0, far - begin));
}

/** How the blade stands where a cut begins. */
export function beginOf(cut: SawCut): Pose | null {
  const leg = cut.legs.find((it) => it.is === 'sawn');
  return leg?.is === 'sawn' && leg.way.length > 1 ? new Way(leg.way).at(0) : null;
}
