import { ask } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import type { Problem } from '@/lib/wire/Problem';

/** The answer to what was asked last; one that comes after something else was asked is let go. */
export class Latest<T> {
  value = $state.raw<T | null>(null);
  problem = $state.raw<Problem | null>(null);
  #turn = 0;

  /** Asks by reading, or by sending what it is asked of. */
  async ask(path: string, body?: unknown): Promise<void> {
    const turn = ++this.#turn;
    try {
      const value = await ask<T>(body === undefined ? 'GET' : 'POST', path, body);
      if (turn === this.#turn) [this.value, this.problem] = [value, null];
    } catch (thrown) {
      if (turn === this.#turn) [this.value, this.problem] = [null, problemOf(thrown)];
    }
  }
}
