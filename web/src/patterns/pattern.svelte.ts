import type { Camera } from '@/board/camera.svelte';
import { RingTool } from '@/board/ringtool.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import { ask, withQuery } from '@/lib/client';
import { distance } from '@/lib/geometry';
import type { Shop } from '@/lib/shop.svelte';
import { featureMiddle, handlesOf, marginOf, newFeature, withHandle } from '@/patterns/features';
import type { Feature } from '@/lib/wire/Feature';
import type { FeatureKind } from '@/lib/wire/FeatureKind';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import { Deed } from '@/ui/deed.svelte';

/** Keys that follow each other sooner than this are one change. */
const PAUSE_MS = 700;

/** A pattern in hand: which feature is chosen, where it is being moved, and how it is kept. */
export class PatternEditor {
  chosen = $state<number | null>(null);
  /** The chosen feature while it is being moved. */
  held = $state.raw<FeatureKind | null>(null);
  /** Which of its points the hand or the keys move. */
  handle = $state(0);
  readonly deed = new Deed();

  #pause: ReturnType<typeof setTimeout> | undefined;

  readonly ringTool = new RingTool(
    () => this.#area ?? [],
    (area) => this.changeKind((it) => ('area' in it ? { ...it, area } : it)),
    () => (this.chosen = null),
    (at) => this.#chooseAt(at, 10),
  );

  readonly pointTool: Tool = {
    down: (at, reach) => this.#grab(at, reach),
    move: (at) => this.#move(at),
    up: () => void this.#keepHeld(),
    cancel: () => (this.held = null),
    tap: (at, reach) => this.#chooseAt(at, reach),
    key: (event, camera) => this.#key(event, camera),
  };

  constructor(
    private readonly shop: Shop,
    private readonly id: () => number,
  ) {}

  get pattern(): Pattern | undefined {
    return this.shop.pattern(this.id());
  }

  get feature(): Feature | undefined {
    return this.pattern?.features.find((it) => it.id === this.chosen);
  }

  /** The chosen feature as it stands or as it is being moved. */
  get kind(): FeatureKind | undefined {
    return this.held ?? this.feature?.kind;
  }

  get #area(): Ring | null {
    const kind = this.feature?.kind;
    return kind && 'area' in kind ? kind.area : null;
  }

  get byArea(): boolean {
    return this.#area !== null;
  }

  get tool(): Tool {
    return this.byArea ? this.ringTool : this.pointTool;
  }

  choose(id: number | null): void {
    [this.chosen, this.held, this.handle] = [id, null, 0];
  }

  async add(is: FeatureKind['is']): Promise<void> {
    let id = 0;
    let body: Ring = [];
    const margin = this.pattern ? marginOf(is, this.pattern) : null;
    if (margin !== null) {
      const path = withQuery(`/api/patterns/${this.id()}/body`, { margin });
      const told = await this.deed.run(async () => (body = await ask<Ring>('GET', path)));
      if (!told) return;
    }
    await this.#keep((it) => {
      const feature = newFeature(is, it, body);
      id = feature.id;
      return { ...it, features: [...it.features, feature] };
    });
    if (!this.deed.problem) this.choose(id);
  }

  remove(id: number): Promise<unknown> {
    this.choose(null);
    return this.#keep((it) => ({ ...it, features: it.features.filter((one) => one.id !== id) }));
  }

  /** Changes the chosen feature; throws what the shop answers, for the field that asked. */
  changeKind(change: (kind: FeatureKind) => FeatureKind): Promise<unknown> {
    const id = this.chosen;
    return this.shop.editPattern(this.id(), (pattern) => ({
      ...pattern,
      features: pattern.features.map((it) => (it.id === id ? { ...it, kind: change(it.kind) } : it)),
    }));
  }

  #chooseAt(at: Point, reach: number): void {
    const near = (this.pattern?.features ?? []).map((it) => [distance(featureMiddle(it.kind), at), it.id] as const);
    const [nearest] = near.sort((a, b) => a[0] - b[0]);
    this.choose(nearest && nearest[0] < 3 * reach ? nearest[1] : null);
  }

  #grab(at: Point, reach: number): boolean {
    const far = this.kind ? handlesOf(this.kind).map((it) => distance(it, at)) : [];
    const index = far.findIndex((it) => it === Math.min(...far));
    if (index < 0 || far[index]! > reach) return false;
    this.handle = index;
    return true;
  }

  #move(at: Point): void {
    if (this.kind) this.held = withHandle(this.kind, this.handle, at);
  }

  #key(event: KeyboardEvent, camera: Camera): boolean {
    const kind = this.kind;
    const handles = kind ? handlesOf(kind) : [];
    const at = handles[this.handle];
    if (!kind || !at) return false;
    const step = arrowStep(event, 5, 1);
    if (step) {
      this.#move([at[0] + step[0], at[1] + step[1]]);
      if (!camera.sees(at)) camera.lookAt(at);
      clearTimeout(this.#pause);
      this.#pause = setTimeout(() => void this.#keepHeld(), PAUSE_MS);
    } else if (event.key === '.' || event.key === ',') this.handle = (this.handle + 1) % handles.length;
    else if (event.key === 'Escape') this.choose(null);
    else return false;
    return true;
  }

  async #keepHeld(): Promise<void> {
    const held = this.held;
    if (!held) return;
    await this.deed.run(() => this.changeKind(() => held));
    if (this.held === held) this.held = null;
  }

  #keep(change: (pattern: Pattern) => Pattern): Promise<unknown> {
    return this.deed.run(() => this.shop.editPattern(this.id(), change));
  }
}
