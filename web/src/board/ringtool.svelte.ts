import type { Camera } from '@/board/camera.svelte';
import { arrowStep, type Tool } from '@/board/tool';
import { awayFrom, contains, distance, moved } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';

/** Keys that follow each other sooner than this are one change. */
const PAUSE_MS = 700;

type Grip = { of: 'corner'; index: number } | { of: 'all'; from: Point; was: Ring };

/** Moves a closed line or its corners: drag a corner, an edge for a new one, or the whole. */
export class RingTool implements Tool {
  /** The line while it is in hand; `null` when the kept one shows. */
  held = $state.raw<Ring | null>(null);
  corner = $state<number | null>(null);

  #grip: Grip | null = null;
  #pause: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly ring: () => Ring,
    private readonly save: (ring: Ring) => Promise<unknown>,
    private readonly leave: () => void,
    /** A press that meets nothing of this line. */
    private readonly elsewhere: (at: Point, reach: number) => void,
  ) {}

  readonly keys: string =
    'Arrow keys move the line; full stop and comma choose a corner to move instead, Shift moves a little, Delete takes the corner out, Escape leaves';

  /** Whether the whole line can be moved. */
  protected get slides(): boolean {
    return true;
  }

  get shown(): Ring {
    return this.held ?? this.ring();
  }

  down(at: Point, reach: number): boolean {
    const ring = this.shown;
    const far = ring.map((it) => distance(it, at));
    const index = far.indexOf(Math.min(...far));
    if (far[index]! < reach) this.#grip = { of: 'corner', index };
    else if (this.#onEdge(at, reach / 2)) return true;
    else if (this.slides && contains(ring, at)) this.#grip = { of: 'all', from: at, was: ring };
    else return false;
    this.corner = this.#grip.of === 'corner' ? index : null;
    return true;
  }

  #onEdge(at: Point, reach: number): boolean {
    const ring = this.shown;
    const index = ring.findIndex((it, index) => awayFrom(at, it, ring[(index + 1) % ring.length]!) < reach);
    if (index < 0) return false;
    this.held = ring.toSpliced(index + 1, 0, at);
    this.#grip = { of: 'corner', index: index + 1 };
    this.corner = index + 1;
    return true;
  }

  move(at: Point): void {
    const grip = this.#grip;
    if (grip?.of === 'corner') this.held = this.shown.with(grip.index, at);
    if (grip?.of === 'all') this.held = moved(grip.was, at[0] - grip.from[0], at[1] - grip.from[1]);
  }

  up(): void {
    this.#grip = null;
    if (this.held) void this.#keep();
  }

  cancel(): void {
    this.#grip = this.held = null;
  }

  tap(at: Point, reach: number): void {
    const ring = this.shown;
    if (!(this.slides && contains(ring, at)) && !ring.some((it) => distance(it, at) < reach)) this.elsewhere(at, reach);
  }

  key(event: KeyboardEvent, camera: Camera): boolean {
    const step = arrowStep(event, 5, 1);
    const count = this.shown.length;
    if (step) this.#nudge(step, camera);
    else if (event.key === '.' || event.key === '>') this.corner = ((this.corner ?? -1) + 1) % count;
    else if (event.key === ',' || event.key === '<') this.corner = ((this.corner ?? 0) - 1 + count) % count;
    else if (event.key === 'Delete' && this.corner !== null) this.takeOut();
    else if (event.key === 'Escape') this.leave();
    else return false;
    return true;
  }

  #nudge([dx, dy]: Point, camera: Camera): void {
    const at = this.corner === null ? null : this.shown[this.corner];
    if (!at && !this.slides) return;
    this.held = at ? this.shown.with(this.corner!, [at[0] + dx, at[1] + dy]) : moved(this.shown, dx, dy);
    const seen = this.shown[this.corner ?? 0]!;
    if (!camera.sees(seen)) camera.lookAt(seen);
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => void this.#keep(), PAUSE_MS);
  }

  /** Takes the chosen corner out of the line; the last three stay. */
  takeOut(): void {
    if (this.corner === null || this.shown.length <= 3) return;
    this.held = this.shown.toSpliced(this.corner, 1);
    this.corner = null;
    void this.#keep();
  }

  async #keep(): Promise<void> {
    const keeping = this.held;
    if (!keeping) return;
    try {
      await this.save(keeping);
    } finally {
      if (this.held === keeping) this.held = null;
    }
  }
}
