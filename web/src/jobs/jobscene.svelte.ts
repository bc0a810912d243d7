import type { JobDesk } from '@/jobs/desk.svelte';
import { PinTool } from '@/jobs/pintool.svelte';
import { flagAt, flagsOf, placeOf, type Flag, type Lit } from '@/jobs/places';
import { groundsOf, onlyUsed, usedFaces, type Ground } from '@/jobs/scene';

/** Flags stand this many pixels apart. */
const FLAGS_APART = 30;
/** A finger's reach in pixels, as the board counts it. */
const REACH = 22;

/** The drawing of a job: its faces, what lies on them, and what is lit. */
export class JobScene {
  /** Shows also the wood that nothing lies on. */
  all = $state(false);
  readonly tool: PinTool;

  /** All faces of the job. */
  readonly every = $derived.by((): Ground[] => {
    const job = this.desk.job;
    return job ? groundsOf(job, this.desk.shop.view?.pieces ?? [], this.shape()) : [];
  });
  readonly #used = $derived.by(() => usedFaces(this.desk.layout, this.desk.job?.choices.pins ?? []));
  readonly grounds = $derived.by(() => (this.all ? this.every : onlyUsed(this.every, this.#used, this.shape())));
  readonly #findings = $derived.by(() => this.desk.plan?.findings ?? []);
  readonly lit = $derived.by((): Lit => {
    const finding = this.desk.chosen === null ? undefined : this.#findings[this.desk.chosen];
    return finding ? this.#place(finding.spot) : { at: [], parts: [], faces: [] };
  });

  /** How many faces have nothing on them. */
  readonly spare = $derived.by(() => this.every.length - onlyUsed(this.every, this.#used).length);

  /** `shape` is how much wider than high the drawing may be. */
  constructor(
    readonly desk: JobDesk,
    private readonly shape: () => number,
    coarse: () => boolean,
  ) {
    this.tool = new PinTool(desk, () => this.grounds, (at, reach) => this.#touchFlag(at, reach), coarse);
  }

  #place = (spot: Parameters<typeof placeOf>[0]): Lit => {
    const job = this.desk.job;
    return job ? placeOf(spot, this.grounds, this.tool.placements, job) : { at: [], parts: [], faces: [] };
  };

  /** The findings' numbers where they point. */
  flags(scale: number): Flag[] {
    return flagsOf(this.#findings, this.#place, FLAGS_APART / scale);
  }

  /** Whether a finding has a place on this drawing. */
  hasPlace(index: number): boolean {
    const finding = this.#findings[index];
    return !!finding && this.#place(finding.spot).at.length > 0;
  }

  #touchFlag(at: [number, number], reach: number): boolean {
    const flag = flagAt(this.flags(REACH / reach), at, reach);
    if (flag) this.desk.choose(flag.index);
    return flag !== undefined;
  }
}
