import { placeLabels, type Placed } from '@/board/labels';
import { REACH } from '@/board/pointers';
import type { JobDesk } from '@/jobs/desk.svelte';
import { jobWishes, movedWish } from '@/jobs/joblabels';
import { PinTool } from '@/jobs/pintool.svelte';
import { flagAt, flagsOf, placeOf, type Flag, type Lit } from '@/jobs/places';
import type { Room } from '@/jobs/shelves';
import { arranged, faceId, groundsOf, groundOf, onlyUsed, onScene, usedFaces, type Ground } from '@/jobs/scene';
import { boxAroundAll, boxAt, centroidOf, pointFrom, type Box } from '@/lib/geometry';
import { cutNumbers, numberAt, type CutNumber } from '@/sawing/cutmarks';
import type { CutLayer } from '@/sawing/cutlayer.svelte';
import { ownCutOf, withOwnCut } from '@/sawing/owncuts';
import { WayTool } from '@/sawing/waytool.svelte';
import { beginOf } from '@/sawing/sequence';
import type { CutSheet } from '@/lib/wire/CutSheet';
import type { OwnCut } from '@/lib/wire/OwnCut';
import type { Placement } from '@/lib/wire/Placement';
import type { Point } from '@/lib/wire/Point';
import type { Spot } from '@/lib/wire/Spot';

/** The numbers of a face's cuts, on the drawing. */
export interface FaceNumbers {
  face: string;
  numbers: CutNumber[];
}

/** What stands on the drawing beside the wood and the parts: names, and the numbers of findings or of cuts. */
export interface Drawn {
  labels: Placed[];
  flags: Flag[];
  cuts: FaceNumbers[];
}

/** Flags stand this many pixels apart. */
const FLAGS_APART = 30;
/** The numbers of cuts have room beside the wood: such a share of the drawing's longer side. */
const BESIDE = 0.03;

/** The drawing of a job: its faces, what lies on them, and what is lit. */
export class JobScene {
  /** Shows also the wood that nothing lies on. */
  all = $state(false);
  /** Whether a cut of the maker's own is being drawn. */
  drawsCut = $state(false);
  readonly tool: PinTool;
  readonly way = new WayTool((way) => this.#keepCut(way), () => this.drawCut(false));

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

  /** All of the drawing, with its names, and with the cuts that begin beside the wood. */
  get box(): Box {
    return this.#box;
  }

  /** The pixels that the drawing needs from top to bottom. */
  get high(): number {
    return this.#arranged.high;
  }

  /** How many faces have nothing on them. */
  readonly spare = $derived.by(() => this.every.length - onlyUsed(this.every, this.#used).length);

  /** None while the search lays the parts elsewhere. */
  readonly #sheets = $derived.by((): readonly CutSheet[] => {
    const shown = this.cuts.shown && !this.desk.work.running;
    return (shown && this.desk.plan?.cut_sheets) || [];
  });

  readonly #box = $derived.by((): Box => {
    const { box } = this.#arranged;
    const numbers = BESIDE * Math.max(box.width, box.height);
    const cuts = this.grounds.flatMap((ground) => {
      const begins = this.sheetOn(ground)?.plan.cuts.flatMap((it) => beginOf(it) ?? []) ?? [];
      return begins.map((it) => boxAt(onScene(ground, pointFrom(it.at, it.heading + 180, numbers)), { width: numbers, height: numbers }));
    });
    return cuts.length ? boxAroundAll([box, ...cuts]) : box;
  });

  /** `room` is what the board has for the drawing. */
  constructor(
    readonly desk: JobDesk,
    private readonly room: () => Room,
    coarse: () => boolean,
    readonly cuts: CutLayer,
  ) {
    this.tool = new PinTool(desk, () => this.grounds, (at, reach) => this.#touchFlag(at, reach), coarse);
  }

  #place = (spot: Spot): Lit => this.#placeAmong(spot, this.tool.placements);

  #placeAmong(spot: Spot, placements: readonly Placement[]): Lit {
    const job = this.desk.job;
    return job ? placeOf(spot, this.grounds, placements, job) : { at: [], parts: [], faces: [] };
  }

  /** The cuts that are drawn on a face. */
  sheetOn(ground: Ground): CutSheet | undefined {
    return this.#sheets.find((it) => faceId(it.plan.face) === ground.key);
  }

  /** Where to look: at the cut or at the finding that is looked at. */
  get look(): Point | null {
    const ground = this.grounds.find((it) => it.key === this.cuts.chosen?.face);
    const cut = ground && this.sheetOn(ground)?.plan.cuts[(this.cuts.chosen?.number ?? 0) - 1];
    const begin = cut && beginOf(cut);
    return ground && begin ? onScene(ground, begin.at) : (this.lit.at[0] ?? null);
  }

  /** What the pointer works with. */
  get inUse(): PinTool | WayTool {
    return this.drawsCut ? this.way : this.tool;
  }

  /** The maker's own cuts on a face. */
  ownOn(ground: Ground): OwnCut[] {
    const drawn = this.cuts.shown || this.drawsCut || this.desk.stale;
    return drawn ? (this.desk.job?.choices.own_cuts ?? []).filter((it) => faceId(it.face) === ground.key) : [];
  }

  /** Takes the pen for a cut of the maker's own in hand, or puts it away. */
  drawCut(yes: boolean): void {
    this.way.cancel();
    this.tool.take(null);
    this.drawsCut = yes;
  }

  async #keepCut(way: Point[]): Promise<boolean> {
    await this.desk.deed.run(() => {
      const cut = ownCutOf(way, this.grounds);
      return this.desk.edit((job) => withOwnCut(job, cut));
    });
    if (this.desk.deed.problem) return false;
    this.drawCut(false);
    return true;
  }

  /** The names of what rests here, and clear of them the numbers of what is listed: the findings' or the cuts'. */
  drawn(scale: number, near = false, hovered: string | null = null): Drawn {
    const wishes = jobWishes(this, hovered);
    const names = placeLabels(wishes.first, [], scale);
    const boxes = names.map((it) => it.box);
    const listsCuts = this.#sheets.length > 0 && this.cuts.listed;
    const flags = this.desk.work.running || listsCuts ? [] : flagsOf(this.#findings, (it) => this.#placeAmong(it, this.tool.resting), FLAGS_APART / scale, boxes);
    const side = FLAGS_APART / scale;
    const taken = [...boxes, ...flags.map((it) => boxAt(it.at, { width: side, height: side }))];
    const others = near ? wishes.near : wishes.near.filter((it) => it.key === hovered);
    const cuts = listsCuts ? this.#cutNumbers(scale, taken) : [];
    const numbers = cuts.flatMap((it) => it.numbers.map(({ at }) => boxAt(at, { width: side, height: side })));
    return { labels: [...names, ...placeLabels(others, [...taken, ...numbers], scale)], flags, cuts };
  }

  #cutNumbers(scale: number, taken: readonly Box[]): FaceNumbers[] {
    return this.grounds.flatMap((ground) => {
      const sheet = this.sheetOn(ground);
      if (!sheet) return [];
      const rings = this.tool.resting.filter((it) => faceId(it.face) === ground.key).map((it) => it.outline.outer);
      const boxes = taken.map((it) => ({ ...it, left: it.left - ground.at[0], bottom: it.bottom - ground.at[1] }));
      const numbers = cutNumbers(sheet, { rings, boxes }, scale);
      return [{ face: ground.key, numbers: numbers.map((it) => ({ ...it, of: onScene(ground, it.of), at: onScene(ground, it.at) })) }];
    });
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
    const { flags, cuts } = this.drawn(REACH / reach);
    const flag = flagAt(flags, at, reach);
    const on = cuts.find((it) => numberAt(it.numbers, at, reach));
    const number = on && numberAt(on.numbers, at, reach);
    if (flag) this.desk.choose(flag.index);
    else if (on && number) this.cuts.choose(on.face, number.number);
    return flag !== undefined || number !== undefined;
  }
}
