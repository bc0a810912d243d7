/** An answer that holds for as long as all that it hangs on stays as it was when it was asked for. */
export class Answer<T> {
  readonly #hangsOn: () => readonly unknown[];
  #found = $state.raw<{ told: T; of: readonly unknown[] } | null>(null);

  constructor(hangsOn: () => readonly unknown[]) {
    this.#hangsOn = hangsOn;
  }

  get value(): T | null {
    const now = this.#hangsOn();
    return this.#found?.of.every((it, at) => it === now[at]) ? this.#found.told : null;
  }

  /** Takes the place of the answer before, also by none. */
  async ask(asking: () => Promise<T | undefined>): Promise<void> {
    const of = this.#hangsOn();
    const told = await asking();
    this.#found = told === undefined ? null : { told, of };
  }
}
