import { placeLabels, type Placed } from '@/board/labels';
import { REACH } from '@/board/pointers';
import type { JobDesk } from '@/jobs/desk.svelte';
import { jobWishes, movedWish } from '@/jobs/joblabels';
import { PinTool } from '@/jobs/pintool.svelte';
import { flagAt, flagsOf, placeOf, type Flag, type Lit } from '@/jobs/places';
import type { Room } from '@/jobs/shelves';
import { arranged, groundsOf, groundOf, onlyUsed, onScene, usedFaces, type Ground } from '@/jobs/scene';
import { boxAt, centroidOf, type Box } from '@/lib/geometry';
import type { Placement } from '@/lib/wire/Placement';
import type { Point } from '@/lib/wire/Point';
import type { Spot } from '@/lib/wire/Spot';

/** Flags stand this many pixels apart. */
const FLAGS_APART = 30;

/** The drawing of a job: its faces, what lies on them, and what is lit. */
export class JobScene {
  /** Shows also the wood that nothing lies on. */
  all = $state(false);
  readonly tool: PinTool;

  /** All faces of the job. */
  readonly every = $derived.by((): Ground[] => {
    const job = this.desk.job;
    return job ? groundsOf(job, this.desk.shop.view?.pieces ?? []) : [];
  });
  readonly #pins = $derived.by(() => this.desk.job?.choices.pins ?? []);
  readonly #used = $derived.by(() => usedFaces(this.desk.layout, this.#pins));
  readonly #arranged = $derived.by(() => {
    // A pin does not move faces about that are shown anyway.
    const first = usedFaces(this.desk.layout, this.all ? [] : this.#pins);
    return arranged(this.all ? this.every : onlyUsed(this.every, this.#used), first, this.room());
  });
  readonly grounds = $derived.by(() => this.#arranged.grounds);
  readonly #findings = $derived.by(() => this.desk.plan?.findings ?? []);
  readonly lit = $derived.by((): Lit => {
    const finding = this.desk.chosen === null ? undefined : this.#findings[this.desk.chosen];
    return finding ? this.#place(finding.spot) : { at: [], parts: [], faces: [] };
  });

  /** All of the drawing, with its names. */
  get box(): Box {
    return this.#arranged.box;
  }

  /** The pixels that the drawing needs from top to bottom. */
  get high(): number {
    return this.#arranged.high;
  }

  /** How many faces have nothing on them. */
  readonly spare = $derived.by(() => this.every.length - onlyUsed(this.every, this.#used).length);

  /** `room` is what the board has for the drawing. */
  constructor(
    readonly desk: JobDesk,
    private readonly room: () => Room,
    coarse: () => boolean,
  ) {
    this.tool = new PinTool(desk, () => this.grounds, (at, reach) => this.#touchFlag(at, reach), coarse);
  }

  #place = (spot: Spot): Lit => this.#placeAmong(spot, this.tool.placements);

  #placeAmong(spot: Spot, placements: readonly Placement[]): Lit {
    const job = this.desk.job;
    return job ? placeOf(spot, this.grounds, placements, job) : { at: [], parts: [], faces: [] };
  }

  /** The names of what rests here, and the findings' numbers clear of them. */
  drawn(scale: number, near = false, hovered: string | null = null): { labels: Placed[]; flags: Flag[] } {
    const wishes = jobWishes(this, hovered);
    const names = placeLabels(wishes.first, [], scale);
    const boxes = names.map((it) => it.box);
    const flags = this.desk.work.running ? [] : flagsOf(this.#findings, (it) => this.#placeAmong(it, this.tool.resting), FLAGS_APART / scale, boxes);
    const side = FLAGS_APART / scale;
    const taken = [...boxes, ...flags.map((it) => boxAt(it.at, { width: side, height: side }))];
    const others = near ? wishes.near : wishes.near.filter((it) => it.key === hovered);
    return { labels: [...names, ...placeLabels(others, taken, scale)], flags };
  }

  /** The name of the part that is being moved. */
  drawnMoved(scale: number): Placed[] {
    return this.tool.moved ? placeLabels(movedWish(this, this.tool.moved), [], scale) : [];
  }

  /** A part's middle on the drawing. */
  middleOf(placement: Placement): Point {
    const ground = groundOf(this.grounds, placement.face);
    const middle = centroidOf(placement.outline.outer);
    return ground ? onScene(ground, middle) : middle;
  }

  /** Whether a finding has a place on this drawing. */
  hasPlace(index: number): boolean {
    const finding = this.#findings[index];
    return !!finding && this.#place(finding.spot).at.length > 0;
  }

  #touchFlag(at: [number, number], reach: number): boolean {
    const flag = flagAt(this.drawn(REACH / reach).flags, at, reach);
    if (flag) this.desk.choose(flag.index);
    return flag !== undefined;
  }
}
