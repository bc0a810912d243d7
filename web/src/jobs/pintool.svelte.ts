import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import type { JobDesk } from '@/jobs/desk.svelte';
import { Hand } from '@/jobs/hand/hand.svelte';
import { knobOf, turnTo } from '@/jobs/hand/knob';
import { finePlace, laidBy, placementsNow, shifted, tidyPlace, TURN, turned, withoutPin, withPin } from '@/jobs/pins';
import { groundAt, groundOf, onFace, onScene, type Ground } from '@/jobs/scene';
import { samePart, shownArea, withoutShown, withShown } from '@/jobs/want';
import { areaOf, boxAround, contains, distance, middleOf } from '@/lib/geometry';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Pin } from '@/lib/wire/Pin';
import type { Placement } from '@/lib/wire/Placement';
import type { Shown } from '@/lib/wire/Shown';
import type { Point } from '@/lib/wire/Point';

/** Keys that follow each other sooner than this are one change. */
const PAUSE_MS = 700;
/** A part so near to contact, in fingers' breadths, is drawn to it; from near that is less wood. */
const DRAWN = 0.4;

/** What the pointer has taken hold of: a part, or the knob that turns it. */
interface Grip {
  was: Pin;
  from: Point;
  /** A finger's breadth in millimetres. */
  reach: number;
  turns: boolean;
}

/** Puts parts in place by hand: drag one, or choose it and use the keys. */
export class PinTool implements Tool {
  /** The part in hand. */
  part = $state.raw<PartKey | null>(null);
  /** Where it is being put; `null` while it lies where it is kept. */
  held = $state.raw<Pin | null>(null);
  /** Whether it may lie where it is put, and what it is drawn to. */
  readonly hand: Hand;

  #grip: Grip | null = null;
  #pause: ReturnType<typeof setTimeout> | undefined;

  /** `flagged` gets a touch first, and says whether a flag was there; `coarse` is whether fingers work here. */
  constructor(
    private readonly desk: JobDesk,
    private readonly grounds: () => Ground[],
    private readonly flagged: (at: Point, reach: number) => boolean,
    private readonly coarse: () => boolean,
  ) {
    this.hand = new Hand(desk, { grounds, kept: () => this.kept, part: () => this.part, pin: () => this.inHand });
  }

  readonly keys =
    'Full stop and comma choose a part, arrow keys move it by 1 mm, with Shift by 10 mm and with Control until it touches, brackets turn it and with Shift stop at the grain, G lays it with the grain, M mirrors it, Delete takes its pin off, Escape lets go; Alt held while dragging lets it go past contact';

  /** Parts as they are kept. */
  readonly kept = $derived.by((): Placement[] => {
    const job = this.desk.job;
    return job ? placementsNow(this.desk.layout?.placements ?? [], job, this.desk.patternOf) : [];
  });
  readonly #moving = $derived(this.held?.part ?? null);
  /** Those that nobody moves; what is drawn of them stays as it is while a part is moved. */
  readonly resting = $derived.by((): Placement[] => {
    const moving = this.#moving;
    return moving ? this.kept.filter((it) => !samePart(it.part, moving)) : this.kept;
  });
  /** The one that is being moved, where the hand holds it. */
  readonly moved = $derived.by((): Placement | null => {
    const pattern = this.held && this.desk.patternOf(this.held.part);
    return this.held && pattern ? laidBy(this.held, pattern) : null;
  });
  /** Parts as they lie now, the one in hand where the hand holds it. */
  readonly placements = $derived.by((): Placement[] => (this.moved ? [...this.resting, this.moved] : this.resting));

  /** The placement of the part in hand. */
  get placement(): Placement | undefined {
    return this.#find(this.part);
  }

  /** The part in hand where it is now. */
  get inHand(): Pin | null {
    const now = this.held ?? this.placement;
    return now ? { part: now.part, face: now.face, place: now.place } : null;
  }

  #find(part: PartKey | null): Placement | undefined {
    return part ? this.placements.find((it) => samePart(it.part, part)) : undefined;
  }

  /** The smallest part under a point of the drawing. */
  partAt(at: Point): Placement | undefined {
    const under = this.placements.filter((it) => {
      const ground = groundOf(this.grounds(), it.face);
      return ground && contains(it.outline.outer, onFace(ground, at));
    });
    return under.sort((a, b) => areaOf(a.outline.outer) - areaOf(b.outline.outer))[0];
  }

  /** A finger drags only the part that was chosen before; else it moves the drawing. */
  down(at: Point, reach: number): boolean {
    const now = this.inHand;
    if (now && !this.desk.fixed && this.#isOnKnob(now, at, reach)) {
      this.#grip = { was: now, from: at, reach, turns: true };
      return true;
    }
    const under = this.partAt(at);
    const chosen = under && this.part && samePart(under.part, this.part);
    if (!under || this.desk.fixed || (this.coarse() && !chosen)) return false;
    this.#grip = { was: { part: under.part, face: under.face, place: under.place }, from: at, reach, turns: false };
    return true;
  }

  #isOnKnob({ part, face, place }: Pin, at: Point, reach: number): boolean {
    const [pattern, ground] = [this.desk.patternOf(part), groundOf(this.grounds(), face)];
    return !!pattern && !!ground && distance(onScene(ground, knobOf(place, pattern, reach).knob), at) < reach;
  }

  move(at: Point, loose = false): void {
    const grip = this.#grip;
    if (!grip || (!this.held && distance(at, grip.from) < grip.reach / 3)) return;
    this.part = grip.was.part;
    this.hand.remark = '';
    this.held = grip.turns ? this.#turnedTo(grip, at, loose) : this.#movedTo(grip, at, loose);
  }

  #movedTo({ was, from, reach }: Grip, at: Point, loose: boolean): Pin {
    const pin = this.#settled(was, at[0] - from[0], at[1] - from[1]);
    const tidy = { ...pin, place: tidyPlace(pin.place) };
    return loose ? tidy : this.hand.drawn(tidy, DRAWN * reach);
  }

  #turnedTo({ was, reach }: Grip, at: Point, loose: boolean): Pin {
    const [pattern, ground] = [this.desk.patternOf(was.part), groundOf(this.grounds(), was.face)];
    if (!pattern || !ground) return was;
    const by = turnTo(knobOf(was.place, pattern, reach).middle, onFace(ground, at)) - was.place.turn;
    const pin = { ...was, place: turned(was.place, pattern, by) };
    return loose ? pin : this.hand.withGrain(pin, true);
  }

  /** Moved so far, on the face that its middle comes to lie on. */
  #settled(was: Pin, dx: number, dy: number): Pin {
    const pattern = this.desk.patternOf(was.part);
    const ground = groundOf(this.grounds(), was.face);
    const place = shifted(was.place, dx, dy);
    if (!pattern || !ground) return { ...was, place };
    const middle = onScene(ground, middleOf(boxAround(laidBy({ ...was, place }, pattern).outline.outer)));
    const next = groundAt(this.grounds(), middle) ?? ground;
    return { ...was, face: next.face, place: shifted(place, ground.at[0] - next.at[0], ground.at[1] - next.at[1]) };
  }

  up(at: Point): void {
    const grip = this.#grip;
    this.#grip = null;
    if (this.held) void this.keep();
    else if (grip && !grip.turns) this.tap(at, grip.reach);
  }

  cancel(): void {
    this.#grip = this.held = null;
  }

  tap(at: Point, reach: number): void {
    if (this.flagged(at, reach)) return;
    this.take(this.partAt(at)?.part ?? null);
  }

  take(part: PartKey | null): void {
    clearTimeout(this.#pause);
    if (this.held) void this.keep();
    this.part = part;
    this.hand.remark = '';
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    if (event.key === '.' || event.key === '>') this.#takeNext(1, camera);
    else if (event.key === ',' || event.key === '<') this.#takeNext(-1, camera);
    else if (this.part && !this.desk.view?.sawn) return this.#moveByKey(event, camera);
    else return false;
    return true;
  }

  /** Pushes the part until it touches. */
  controlKey(event: KeyboardEvent, camera: Camera): boolean {
    const way = arrowStep({ key: event.key, shiftKey: false }, 1);
    if (!way || !this.part) return false;
    this.push(way);
    this.#show(camera);
    return true;
  }

  #takeNext(by: number, camera: Camera): void {
    const parts = this.placements;
    if (!parts.length) return;
    const index = parts.findIndex((it) => this.part && samePart(it.part, this.part));
    const start = by > 0 || index >= 0 ? index : 0;
    this.take(parts[(start + by + parts.length) % parts.length]!.part);
    this.#show(camera);
  }

  #moveByKey(event: KeyboardEvent, camera: Camera): boolean {
    // A little without Shift, plainly with it: a part is laid by the millimetre.
    const step = arrowStep(event, 1, 10);
    if (step) this.shift(step[0], step[1]);
    else if (event.key === '[' || event.key === '{') this.turn(TURN, false, event.shiftKey);
    else if (event.key === ']' || event.key === '}') this.turn(-TURN, false, event.shiftKey);
    else if (event.key === 'g' || event.key === 'G') this.layWithGrain();
    else if (event.key === 'm' || event.key === 'M') this.turn(0, true);
    else if (event.key === 'Delete' || event.key === 'Backspace') void this.unpin();
    else if (event.key === 'Escape') this.take(null);
    else return false;
    this.#show(camera);
    return true;
  }

  #show(camera: Camera): void {
    const placement = this.placement;
    const ground = placement && groundOf(this.grounds(), placement.face);
    if (!placement || !ground) return;
    const at = onScene(ground, middleOf(boxAround(placement.outline.outer)));
    if (!camera.sees(at)) camera.lookAt(at);
  }

  shift(dx: number, dy: number): void {
    this.#hold((pin) => this.#settled(pin, dx, dy));
  }

  /** Moves the part one way until it touches; the way is one millimetre long. */
  push(way: Point): void {
    this.#hold((pin) => this.hand.pushed(pin, way));
  }

  /** Counter-clockwise by so many degrees; `toGrain`, it stops at the grain if it comes near. */
  turn(by: number, mirror = false, toGrain = false): void {
    this.#hold((pin) => {
      const pattern = this.desk.patternOf(pin.part);
      const next = pattern ? { ...pin, place: turned(pin.place, pattern, by, mirror) } : pin;
      return toGrain ? this.hand.withGrain(next, true) : next;
    });
  }

  layWithGrain(): void {
    this.#hold((pin) => this.hand.withGrain(pin));
  }

  #hold(change: (pin: Pin) => Pin): void {
    const now = this.inHand;
    if (!now || this.desk.fixed) return;
    this.hand.remark = '';
    this.held = change(now);
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => void this.keep(), PAUSE_MS);
  }

  /** Keeps the part where it is held. */
  async keep(): Promise<void> {
    clearTimeout(this.#pause);
    const held = this.held;
    if (!held) return;
    await this.desk.touch((job) => withPin(job, { ...held, place: finePlace(held.place) }));
    if (this.held === held) this.held = null;
  }

  /** Pins the part in hand where it lies now. */
  pin(): Promise<void> {
    this.held = this.inHand;
    return this.keep();
  }

  /** What the part in hand is to show, if that was said. */
  get shown(): Shown | undefined {
    const part = this.part;
    return part ? this.desk.job?.choices.shows.find((it) => samePart(it.part, part)) : undefined;
  }

  /** From now on the part in hand shows what its middle lies on now, wherever else a plan lays it. */
  async show(): Promise<void> {
    clearTimeout(this.#pause);
    const now = this.inHand;
    const pattern = now && this.desk.patternOf(now.part);
    if (!now || !pattern) return;
    const area = shownArea(laidBy(now, pattern).outline.outer);
    await this.desk.touch((job) => withShown(job, { part: now.part, face: now.face, area }));
    this.held = null;
  }

  /** Lets it show anything again. */
  async hide(): Promise<void> {
    const part = this.part;
    if (part) await this.desk.touch((job) => withoutShown(job, part));
  }

  async unpin(): Promise<void> {
    clearTimeout(this.#pause);
    const part = this.part;
    this.held = null;
    if (part) await this.desk.touch((job) => withoutPin(job, part));
  }
}
