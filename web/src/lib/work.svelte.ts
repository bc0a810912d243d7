import { ask, type Sending } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import type { Layout } from '@/lib/wire/Layout';
import type { Problem } from '@/lib/wire/Problem';
import type { Task } from '@/lib/wire/Task';
import type { TaskEvent } from '@/lib/wire/TaskEvent';
import type { TaskResult } from '@/lib/wire/TaskResult';

/** What is left of work that was stopped: a search's best so far, or nothing of a measuring. */
export type Left = 'best' | 'nothing';

/** Long work in the shop, as far as it has come. */
export class LongWork {
  running = $state(false);
  stopping = $state(false);
  label = $state('');
  share = $state(0);
  best = $state.raw<Layout | null>(null);
  problem = $state.raw<Problem | null>(null);
  /** What the maker should know about the result. */
  remarks = $state.raw<Problem[]>([]);

  #task: number | null = null;

  #way = new AbortController();

  /** Work of which nothing is said to be left cannot be stopped. */
  constructor(readonly left: Left | null = null) {}

  /** Starts work, with what it needs sent first, and follows it to its end; `null` if it failed. */
  async follow(start: (way: Sending) => Promise<Task>, label = 'starting'): Promise<TaskResult | null> {
    this.running = true;
    this.stopping = false;
    this.label = label;
    this.share = 0;
    this.best = this.problem = null;
    this.remarks = [];
    this.#way = new AbortController();
    try {
      const sent = (share: number) => (this.share = share);
      this.#task = (await start({ sent, signal: this.#way.signal })).task;
      if (this.stopping) await this.#askToStop();
      return await this.#listen(this.#task);
    } catch (thrown) {
      this.#failed(problemOf(thrown));
      return null;
    } finally {
      this.running = this.stopping = false;
      this.#task = null;
    }
  }

  /** Ends the work early. What has been sent whole is at work over there, and is stopped there. */
  async stop(): Promise<void> {
    this.stopping = true;
    this.label = this.left === 'best' ? 'stopping, keeping the best so far' : 'stopping, nothing is kept';
    if (this.#task !== null) await this.#askToStop();
    else if (this.share < 1) this.#way.abort();
  }

  async #askToStop(): Promise<void> {
    await ask('POST', `/api/tasks/${this.#task}/stop`).catch((thrown) => (this.problem = problemOf(thrown)));
  }

  /** An end that was asked for is no fault. */
  #failed(problem: Problem): void {
    if (this.stopping) this.remarks = [problem];
    else this.problem = problem;
  }

  #listen(task: number): Promise<TaskResult | null> {
    return new Promise((resolve) => {
      const events = new EventSource(`/api/tasks/${task}/events`);
      const end = (result: TaskResult | null) => {
        events.close();
        resolve(result);
      };
      events.onmessage = (message) => {
        const event = JSON.parse(message.data as string) as TaskEvent;
        switch (event.event) {
          case 'progress':
            if (!this.stopping) this.label = event.label;
            this.share = event.share;
            if (event.best) this.best = event.best;
            return;
          case 'done':
            this.remarks = event.problems;
            return end(event.result);
          case 'failed':
            this.#failed(event.problem);
            return end(null);
        }
      };
      events.onerror = () => {
        if (events.readyState !== EventSource.CLOSED) return;
        this.problem = { message: 'the shop stopped telling how the work goes', hint: 'look again in a moment' };
        end(null);
      };
    });
  }
}
