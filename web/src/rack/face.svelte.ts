import { PolygonTool } from '@/board/polygon.svelte';
import { RingTool } from '@/board/ringtool.svelte';
import { StrokeTool } from '@/board/stroke.svelte';
import type { Tool } from '@/board/tool';
import { contains, areaOf, awayFromRing, directionOf, middleOf, boxAround } from '@/lib/geometry';
import type { Shop } from '@/lib/shop.svelte';
import { EdgeMender } from '@/rack/edge.svelte';
import { Doubts, DOUBT_KEYS } from '@/rack/doubts.svelte';
import { SameMarks } from '@/rack/marks.svelte';
import type { Answer } from '@/lib/wire/Answer';
import type { Candidate } from '@/lib/wire/Candidate';
import type { EdgeAsk } from '@/lib/wire/EdgeAsk';
import type { EdgeStroke } from '@/lib/wire/EdgeStroke';
import type { Face } from '@/lib/wire/Face';
import type { FarFace } from '@/lib/wire/FarFace';
import type { GrainSample } from '@/lib/wire/GrainSample';
import type { Piece } from '@/lib/wire/Piece';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { SameMark } from '@/lib/wire/SameMark';
import type { Side } from '@/lib/wire/Side';
import type { Zone } from '@/lib/wire/Zone';
import type { ZoneKind } from '@/lib/wire/ZoneKind';
import { Deed } from '@/ui/deed.svelte';

export type Mode = 'look' | 'zone' | 'grain' | 'edge' | 'outline' | 'mark';

/** A face in hand: which zone or candidate is chosen, what is being drawn, and how it is kept. */
export class FaceEditor {
  mode = $state<Mode>('look');
  /** What the next zone will hold. */
  kind = $state<ZoneKind>('knot');
  /** A zone's or a candidate's number; a face gives none of them twice. */
  chosen = $state<number | null>(null);
  readonly deed = new Deed();
  readonly doubts = new Doubts(this);
  readonly edge = new EdgeMender(this);
  readonly marks = new SameMarks(this);

  #turned = $state<Side>('near');
  readonly #look: Tool = { tap: (at, reach) => this.chooseAt(at, reach) };
  readonly zoneTool = new PolygonTool((ring) => this.#addZone(ring), () => this.take('look'));
  readonly outlineTool = new PolygonTool((ring) => this.#setOutline(ring), () => this.take('look'));
  readonly grainTool = new StrokeTool((from, to) => this.#addGrain(from, to), () => this.take('look'));
  readonly ringTool = new RingTool(
    () => this.zone?.area ?? [],
    (area) => this.changeZone((it) => ({ ...it, area })),
    () => (this.chosen = null),
    (at, reach) => this.chooseAt(at, reach),
  );

  constructor(
    private readonly shop: Shop,
    private readonly id: () => number,
  ) {}

  get piece(): Piece | undefined {
    return this.shop.piece(this.id());
  }

  /** Which face is in hand; the near one if there is no other. */
  get side(): Side {
    return this.farFace ? this.#turned : 'near';
  }

  get farFace(): FarFace | null {
    return this.piece?.far_face ?? null;
  }

  get face(): Face | undefined {
    return this.side === 'near' ? this.piece?.face : this.farFace?.face;
  }

  /** Turns the wood over; nothing stays in hand but a mark for both faces. */
  turn(side: Side): void {
    this.#turned = side;
    if (this.mode !== 'mark') this.take('look');
  }

  get zone(): Zone | undefined {
    return this.face?.zones.find((it) => it.id === this.chosen);
  }

  get candidate(): Candidate | undefined {
    return this.face?.candidates.find((it) => it.id === this.chosen);
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
      case 'edge':
        return this.edge.tool;
      case 'mark':
        return this.marks.tool;
      case 'look':
        return this.zone ? this.ringTool : this.candidate ? this.doubts.tool : this.#look;
    }
  }

  /** The line that is being drawn, if one is. */
  get drawing(): PolygonTool | StrokeTool | null {
    const { mode, zoneTool, outlineTool, grainTool } = this;
    return mode === 'zone' ? zoneTool : mode === 'outline' ? outlineTool : mode === 'grain' ? grainTool : null;
  }

  /** How the keys work with what is in hand. */
  get keys(): string | undefined {
    if (this.mode === 'edge') return this.edge.tool.keys;
    if (this.mode === 'mark') return this.marks.tool.keys;
    return this.drawing?.keys ?? (this.zone ? this.ringTool.keys : this.candidate ? DOUBT_KEYS : undefined);
  }

  take(mode: Mode): void {
    this.mode = mode;
    this.chosen = this.ringTool.corner = null;
    this.zoneTool.cancel();
    this.outlineTool.cancel();
    this.grainTool.cancel();
    this.edge.cancel();
    this.marks.cancel();
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

  /** The smallest thing under the finger; else a candidate within its breadth, which may be small. */
  chooseAt(at: Point, reach: number): void {
    const { zones = [], candidates = [] } = this.face ?? {};
    const under = [...zones, ...candidates].filter((it) => contains(it.area, at));
    const [smallest] = under.sort((a, b) => areaOf(a.area) - areaOf(b.area));
    const beside = candidates.map((it) => ({ id: it.id, far: awayFromRing(at, it.area) })).sort((a, b) => a.far - b.far)[0];
    this.ringTool.corner = null;
    this.chosen = smallest?.id ?? (beside && beside.far < reach ? beside.id : null);
  }

  /** Tells the shop what candidates are, in one change that can be taken back. */
  answer(answers: Omit<Answer, 'face'>[]): Promise<unknown> {
    const told: Answer[] = answers.map((it) => ({ ...it, face: this.side }));
    return this.deed.run(() => this.shop.create(`/api/pieces/${this.id()}/answers`, told));
  }

  async #addZone(area: Ring): Promise<boolean> {
    let id = 0;
    await this.#keep((face) => {
      id = Math.max(0, ...[...face.zones, ...face.candidates].map((it) => it.id)) + 1;
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

  /** Where the wood ends; what was cut out of it stays. */
  setEdge(outer: Ring): Promise<unknown> {
    return this.#keep((face) => ({ ...face, outline: { ...face.outline, outer } }));
  }

  /** Has the shop look for the edge anew where strokes tell what is wood. */
  mendEdge(strokes: EdgeStroke[]): Promise<unknown> {
    const ask: EdgeAsk = { face: this.side, strokes };
    return this.deed.run(() => this.shop.create(`/api/pieces/${this.id()}/edge`, ask));
  }

  async #setOutline(outer: Ring): Promise<boolean> {
    await this.#keep((face) => ({ ...face, outline: { outer, openings: [] } }));
    if (this.deed.problem) return false;
    this.take('look');
    return true;
  }

  /** The shop lays the faces on each other anew by them. */
  setMarks(marks: SameMark[]): Promise<unknown> {
    return this.deed.run(() =>
      this.shop.editPiece(this.id(), (piece) => ({ ...piece, far_face: piece.far_face && { ...piece.far_face, marks } })),
    );
  }

  #keep(change: (face: Face) => Face): Promise<unknown> {
    const side = this.side;
    return this.deed.run(() => this.shop.editPiece(this.id(), (piece) => withFace(piece, side, change)));
  }
}

function withFace(piece: Piece, side: Side, change: (face: Face) => Face): Piece {
  if (side === 'near') return { ...piece, face: change(piece.face) };
  return { ...piece, far_face: piece.far_face && { ...piece.far_face, face: change(piece.far_face.face) } };
}
