import { PointTool } from '@/board/point.svelte';
import type { FaceEditor } from '@/rack/face.svelte';
import { otherSide } from '@/rack/bothfaces';
import type { Point } from '@/lib/wire/Point';
import type { SameMark } from '@/lib/wire/SameMark';
import type { Side } from '@/lib/wire/Side';

/** A mark as one face shows it: its number and its place. */
export interface ShownMark {
  number: number;
  at: Point;
}

/** Places that can be told on both faces of a piece, touched on one and then on the other. */
export class SameMarks {
  /** Touched on one face, and not yet on the other. */
  waiting = $state.raw<{ side: Side; at: Point } | null>(null);

  readonly tool = new PointTool(
    (at) => this.#touch(at),
    () => this.editor.take('look'),
  );

  constructor(private readonly editor: FaceEditor) {}

  get all(): SameMark[] {
    return this.editor.farFace?.marks ?? [];
  }

  /** Those of the face in hand. */
  get shown(): ShownMark[] {
    const side = this.editor.side;
    const marks = this.all.map((it, index) => ({ number: index + 1, at: it[side] }));
    return this.waiting?.side === side ? [...marks, { number: marks.length + 1, at: this.waiting.at }] : marks;
  }

  /** Whether the face in hand is the one where the mark in hand is missing. */
  get wanted(): boolean {
    return this.waiting !== null && this.waiting.side !== this.editor.side;
  }

  cancel(): void {
    this.waiting = null;
    this.tool.cursor = null;
  }

  clear(): Promise<unknown> {
    this.cancel();
    return this.editor.setMarks([]);
  }

  async #touch(at: Point): Promise<void> {
    const side = this.editor.side;
    if (this.waiting && this.wanted) {
      const mark = side === 'far' ? { near: this.waiting.at, far: at } : { near: at, far: this.waiting.at };
      this.cancel();
      await this.editor.setMarks([...this.all, mark]);
    } else {
      this.waiting = { side, at };
      this.tool.cursor = null;
      this.editor.turn(otherSide(side));
    }
  }
}
