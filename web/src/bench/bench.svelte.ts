import { ask } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import { unkept } from '@/lib/unkept';
import type { BenchOperation } from '@/lib/wire/BenchOperation';
import type { BenchStep } from '@/lib/wire/BenchStep';
import type { BenchView } from '@/lib/wire/BenchView';
import type { Problem } from '@/lib/wire/Problem';
import type { Tick } from '@/lib/wire/Tick';

/** A job at the bench: its steps, and what is being checked off at this moment. */
export class Bench {
  view = $state.raw<BenchView | null>(null);
  /** Why the steps could not be read. */
  problem = $state.raw<Problem | null>(null);

  /** Ticks on their way to the shop; they show at once. */
  #sent = $state.raw<Tick[]>([]);
  /** Notes of steps that were opened again; checking them off brings the note back. */
  #notes = new Map<string, string>();
  #line: Promise<unknown> = Promise.resolve();

  constructor(readonly job: number) {}

  get operations(): BenchOperation[] {
    return this.view?.operations ?? [];
  }

  get steps(): BenchStep[] {
    return this.operations.flatMap((it) => it.steps);
  }

  get stepsDone(): number {
    return this.doneIn(this.steps);
  }

  /** The first operation that is not done; the last one when all are. */
  get next(): BenchOperation | undefined {
    return this.operations.find((it) => !this.finished(it)) ?? this.operations.at(-1);
  }

  isDone(step: BenchStep): boolean {
    return this.#sent.findLast((it) => it.key === step.key)?.done ?? step.done !== null;
  }

  doneIn(steps: BenchStep[]): number {
    return steps.filter((it) => this.isDone(it)).length;
  }

  finished(operation: BenchOperation): boolean {
    return this.doneIn(operation.steps) === operation.steps.length;
  }

  /** Reads the steps after every tick that is still on its way. */
  read(): Promise<void> {
    return this.#inLine(async () => {
      try {
        this.view = await ask<BenchView>('GET', this.#path);
        this.problem = null;
      } catch (thrown) {
        this.problem = problemOf(thrown);
      }
    });
  }

  /** Checks a step off or opens it again; throws what the shop answers, and the step is as before. */
  check(step: BenchStep, done: boolean): Promise<void> {
    if (!done && step.done?.note) this.#notes.set(step.key, step.done.note);
    const note = (done && (step.done?.note || this.#notes.get(step.key))) || '';
    return this.#send({ key: step.key, done, note });
  }

  /** Keeps what really happened beside a step that is done. */
  tell(step: BenchStep, note: string): Promise<void> {
    return this.#send({ key: step.key, done: true, note });
  }

  #send(tick: Tick): Promise<void> {
    this.#sent = [...this.#sent, tick];
    const sent = this.#inLine(async () => {
      try {
        this.view = await ask<BenchView>('PUT', this.#path, tick);
      } finally {
        this.#sent = this.#sent.filter((it) => it !== tick);
      }
    });
    return unkept.until(sent);
  }

  get #path(): string {
    return `/api/jobs/${this.job}/bench`;
  }

  /** One after the other, so that an older answer never covers a newer one. */
  #inLine(deed: () => Promise<void>): Promise<void> {
    const done = this.#line.then(deed);
    this.#line = done.catch(() => undefined);
    return done;
  }
}
