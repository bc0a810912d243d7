import { problemOf } from '@/lib/problem';
import type { Problem } from '@/lib/wire/Problem';

/** What keeps a value; it may take its time and it may fail. */
export type Save<T> = (value: T) => unknown;

/** What somebody is typing, until it is kept; kept text that fails stays as typed, with the Problem beside it. */
export class Draft {
  /** The text being typed; `null` while the kept value shows. */
  text = $state<string | null>(null);
  problem = $state.raw<Problem | null>(null);
  busy = $state(false);

  #keep: (text: string) => unknown;

  constructor(keep: (text: string) => unknown) {
    this.#keep = keep;
  }

  type(text: string): void {
    this.text = text;
    this.problem = null;
  }

  async commit(): Promise<void> {
    const typed = this.text;
    if (typed === null) return;
    this.busy = true;
    try {
      await this.#keep(typed);
      this.problem = null;
      if (this.text === typed) this.text = null;
    } catch (thrown) {
      this.problem = problemOf(thrown);
    } finally {
      this.busy = false;
    }
  }

  /** Keeps a choice made at once, as from a list. */
  choose(text: string): Promise<void> {
    this.type(text);
    return this.commit();
  }

  drop(): void {
    this.text = null;
    this.problem = null;
  }
}
