import { PolygonTool } from '@/board/polygon.svelte';
import { RingTool } from '@/board/ringtool.svelte';
import { StrokeTool } from '@/board/stroke.svelte';
import type { Tool } from '@/board/tool';
import { contains, areaOf, directionOf, middleOf, boxAround } from '@/lib/geometry';
import type { Shop } from '@/lib/shop.svelte';
import type { Face } from '@/lib/wire/Face';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { Zone } from '@/lib/wire/Zone';
import type { ZoneKind } from '@/lib/wire/ZoneKind';
import { Deed } from '@/ui/deed.svelte';

export type Mode = 'look' | 'zone' | 'grain' | 'outline';

/** A face in hand: which zone is chosen, what is being drawn, and how it is kept. */
export class FaceEditor {
  mode = $state<Mode>('look');
  /** What the next zone will hold. */
  kind = $state<ZoneKind>('knot');
  chosen = $state<number | null>(null);
  readonly deed = new Deed();

  readonly #look: Tool = { tap: (at) => this.#chooseAt(at) };
  readonly zoneTool = new PolygonTool((ring) => this.#addZone(ring), () => this.take('look'));
  readonly outlineTool = new PolygonTool((ring) => this.#setOutline(ring), () => this.take('look'));
  readonly grainTool = new StrokeTool((from, to) => this.#addGrain(from, to), () => this.take('look'));
  readonly ringTool = new RingTool(
    () => this.zone?.area ?? [],
    (area) => this.changeZone((it) => ({ ...it, area })),
    () => (this.chosen = null),
    (at) => this.#chooseAt(at),
  );

  constructor(
    private readonly shop: Shop,
    private readonly id: () => number,
  ) {}

  get face(): Face | undefined {
    return this.shop.piece(this.id())?.face;
  }

  get zone(): Zone | undefined {
    return this.face?.zones.find((it) => it.id === this.chosen);
  }

  /** The tool for the mode; a chosen zone can be moved while looking. */
  get tool(): Tool {
    switch (this.mode) {
      case 'zone':
        return this.zoneTool;
      case 'outline':
        return this.outlineTool;
      case 'grain':
        return this.grainTool;
      case 'look':
        return this.zone ? this.ringTool : this.#look;
    }
  }

  /** What is being drawn, if anything is. */
  get drawing(): PolygonTool | StrokeTool | null {
    return this.mode === 'look' ? null : (this.tool as PolygonTool | StrokeTool);
  }

  take(mode: Mode): void {
    this.mode = mode;
    this.chosen = null;
    this.zoneTool.cancel();
    this.outlineTool.cancel();
    this.grainTool.cancel();
  }

  changeZone(change: (zone: Zone) => Zone): Promise<unknown> {
    const id = this.chosen;
    return this.#keep((face) => ({ ...face, zones: face.zones.map((it) => (it.id === id ? change(it) : it)) }));
  }

  removeZone(id: number): Promise<unknown> {
    if (this.chosen === id) this.chosen = null;
    return this.#keep((face) => ({ ...face, zones: face.zones.filter((it) => it.id !== id) }));
  }

  /** The direction where nothing else was drawn, in degrees. */
  setOverall(overall: number): Promise<unknown> {
    return this.#keep((face) => ({ ...face, grain: { ...face.grain, overall } }));
  }

  clearGrain(): Promise<unknown> {
    return this.#keep((face) => ({ ...face, grain: { ...face.grain, samples: [] } }));
  }

  #chooseAt(at: Point): void {
    const under = (this.face?.zones ?? []).filter((it) => contains(it.area, at));
    this.chosen = under.sort((a, b) => areaOf(a.area) - areaOf(b.area))[0]?.id ?? null;
  }

  async #addZone(area: Ring): Promise<boolean> {
    let id = 0;
    await this.#keep((face) => {
      id = Math.max(0, ...face.zones.map((it) => it.id)) + 1;
      const zone: Zone = { id, kind: this.kind, area, through: true, note: '' };
      return { ...face, zones: [...face.zones, zone] };
    });
    if (this.deed.problem) return false;
    // The hand keeps drawing: a slab has more than one knot.
    this.chosen = id;
    return true;
  }

  /** One stroke over the whole face says how it runs; more of them say where it turns. */
  async #addGrain(from: Point, to: Point): Promise<void> {
    const sample: GrainSample = { at: middleOf(boxAround([from, to])), direction: directionOf(from, to), sure: 1 };
    await this.#keep((face) => {
      const samples = [...face.grain.samples, sample];
      const drawn = samples.filter((it) => it.sure === 1);
      const overall = drawn.length === 1 ? sample.direction : face.grain.overall;
      return { ...face, grain: { overall, samples } };
    });
  }

  async #setOutline(outer: Ring): Promise<boolean> {
    await this.#keep((face) => ({ ...face, outline: { outer, openings: [] } }));
    if (this.deed.problem) return false;
    this.take('look');
    return true;
  }

  #keep(change: (face: Face) => Face): Promise<unknown> {
    return this.deed.run(() => this.shop.editPiece(this.id(), (piece) => ({ ...piece, face: change(piece.face) })));
  }
}
