import { EdgeRing } from '@/board/edgering';
import { StrokesTool } from '@/board/strokes.svelte';
import type { Tool } from '@/board/tool';
import type { FaceEditor } from '@/rack/face.svelte';

/** How the edge is mended: by strokes that say what is there, or corner by corner. */
export type EdgeWay = 'wood' | 'ground' | 'corners';

/** The edge of a face in hand. */
export class EdgeMender {
  readonly strokes = new StrokesTool(
    () => this.mend(),
    () => this.editor.take('look'),
  );
  readonly corners = new EdgeRing(
    () => this.editor.face?.outline.outer ?? [],
    (outer) => this.editor.setEdge(outer),
    () => this.editor.take('look'),
    () => (this.corners.corner = null),
  );

  #byCorners = $state(false);

  constructor(private readonly editor: FaceEditor) {}

  /** Strokes are read from a picture; without one there are only the corners. */
  get way(): EdgeWay {
    if (this.#byCorners || !this.editor.face?.picture) return 'corners';
    return this.strokes.wood ? 'wood' : 'ground';
  }

  set way(way: EdgeWay) {
    this.#byCorners = way === 'corners';
    if (way !== 'corners') this.strokes.wood = way === 'wood';
  }

  get tool(): Tool & { keys: string } {
    return this.way === 'corners' ? this.corners : this.strokes;
  }

  cancel(): void {
    this.strokes.clear();
    this.corners.cancel();
    this.corners.corner = null;
  }

  /** Sends the strokes; those that could not be used stay. */
  async mend(): Promise<void> {
    const strokes = this.strokes.strokes;
    if (!strokes.length || this.editor.deed.busy) return;
    await this.editor.mendEdge(strokes);
    if (!this.editor.deed.problem) this.strokes.clear();
  }
}
