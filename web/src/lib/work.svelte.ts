import { ask } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import type { Layout } from '@/lib/wire/Layout';
import type { Problem } from '@/lib/wire/Problem';
import type { Task } from '@/lib/wire/Task';
import type { TaskEvent } from '@/lib/wire/TaskEvent';
import type { TaskResult } from '@/lib/wire/TaskResult';

/** Long work in the shop, as far as it has come. */
export class LongWork {
  running = $state(false);
  label = $state('');
  share = $state(0);
  best = $state.raw<Layout | null>(null);
  problem = $state.raw<Problem | null>(null);
  /** What the maker should know about the result. */
  remarks = $state.raw<Problem[]>([]);

  #task: number | null = null;

  /** Starts work and follows it to its end; `null` if it failed. */
  async follow(start: () => Promise<Task>): Promise<TaskResult | null> {
    this.running = true;
    this.label = 'starting';
    this.share = 0;
    this.best = this.problem = null;
    this.remarks = [];
    try {
      this.#task = (await start()).task;
      return await this.#listen(this.#task);
    } catch (thrown) {
      this.problem = problemOf(thrown);
      return null;
    } finally {
      this.running = false;
      this.#task = null;
    }
  }

  /** Ends the search and keeps the best so far. */
  async stop(): Promise<void> {
    if (this.#task === null) return;
    this.label = 'stopping, keeping the best so far';
    await ask('POST', `/api/tasks/${this.#task}/stop`).catch((thrown) => (this.problem = problemOf(thrown)));
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
            this.label = event.label;
            this.share = event.share;
            if (event.best) this.best = event.best;
            return;
          case 'done':
            this.remarks = event.problems;
            return end(event.result);
          case 'failed':
            this.problem = event.problem;
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
