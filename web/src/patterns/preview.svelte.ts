import { ask } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import type { Family } from '@/lib/wire/Family';
import type { Outline } from '@/lib/wire/Outline';
import type { Problem } from '@/lib/wire/Problem';

/** Typing pauses this long before the shop is asked for the shape. */
const PAUSE_MS = 150;

/** A family's shape while its measures are being chosen; nothing is stored. */
export class Preview {
  outline = $state.raw<Outline | null>(null);
  problem = $state.raw<Problem | null>(null);

  #asked = 0;
  #pause: ReturnType<typeof setTimeout> | undefined;

  show(family: Family): void {
    clearTimeout(this.#pause);
    this.#pause = setTimeout(() => void this.#ask(family), PAUSE_MS);
  }

  /** The last shape stays on the board while the measures do not make one. */
  async #ask(family: Family): Promise<void> {
    const asked = ++this.#asked;
    try {
      const outline = await ask<Outline>('POST', '/api/patterns/outline', family);
      if (asked === this.#asked) [this.outline, this.problem] = [outline, null];
    } catch (thrown) {
      if (asked === this.#asked) this.problem = problemOf(thrown);
    }
  }
}
