import { problemOf } from '@/lib/problem';
import type { Problem } from '@/lib/wire/Problem';

/** Something done at a touch: whether it is under way, and what went wrong. */
export class Deed {
  #running = $state(0);
  problem = $state.raw<Problem | null>(null);

  get busy(): boolean {
    return this.#running > 0;
  }

  /** Runs it; `undefined` if it failed, with the Problem kept here. */
  async run<T>(deed: () => Promise<T>): Promise<T | undefined> {
    this.#running += 1;
    this.problem = null;
    try {
      return await deed();
    } catch (thrown) {
      this.problem = problemOf(thrown);
      return undefined;
    } finally {
      this.#running -= 1;
    }
  }
}
