import { ask } from '@/lib/client';
import { problemOf } from '@/lib/problem';
import type { Shop } from '@/lib/shop.svelte';
import { LongWork } from '@/lib/work.svelte';
import { samePart } from '@/jobs/want';
import type { Change } from '@/lib/wire/Change';
import type { Job } from '@/lib/wire/Job';
import type { JobView } from '@/lib/wire/JobView';
import type { Layout } from '@/lib/wire/Layout';
import type { Mending } from '@/lib/wire/Mending';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Plan } from '@/lib/wire/Plan';
import type { PlanView } from '@/lib/wire/PlanView';
import type { Problem } from '@/lib/wire/Problem';
import type { Task } from '@/lib/wire/Task';
import { Deed } from '@/ui/deed.svelte';

/** A job in hand: its plan as the shop keeps it, the planning under way, and the finding that is looked at. */
export class JobDesk {
  readonly work = new LongWork('best');
  readonly deed = new Deed();
  /** Why the plan could not be read. */
  trouble = $state.raw<Problem | null>(null);
  /** The finding that is looked at, by its place in the list. */
  chosen = $state<number | null>(null);
  /** What was mended since this plan was made. */
  mended = $state.raw<Mending[]>([]);

  #read = $state.raw<PlanView | null>(null);
  #asked = 0;

  constructor(
    readonly shop: Shop,
    private readonly id: () => number,
  ) {}

  get view(): JobView | undefined {
    return this.shop.job(this.id());
  }

  get job(): Job | undefined {
    return this.view?.job;
  }

  get plan(): Plan | null {
    return this.view?.plan ? (this.#read?.plan ?? null) : null;
  }

  /** Whether the parts lie where they lie: the search is laying them, or the wood is sawn. */
  get fixed(): boolean {
    return this.work.running || this.view?.sawn != null;
  }

  /** Whether something has changed since the plan was made. */
  get stale(): boolean {
    return this.view?.plan?.stale ?? false;
  }

  /** What lies on the wood: the best so far while the search runs, the plan otherwise. */
  get layout(): Layout | null {
    return (this.work.running && this.work.best) || (this.plan?.layout ?? null);
  }

  patternOf = (part: PartKey): Pattern | undefined => {
    const want = this.job?.wants.find((it) => it.id === part.want);
    return want && this.shop.pattern(want.pattern);
  };

  /** `Leaf board 2`, or just `Leaf board` if there is one only. */
  partName = (part: PartKey): string => {
    const planned = this.plan?.parts.find((it) => samePart(it.part, part));
    if (planned) return planned.name;
    const count = this.job?.wants.find((it) => it.id === part.want)?.count ?? 1;
    const name = this.patternOf(part)?.name ?? 'Part';
    return count > 1 ? `${name} ${part.copy}` : name;
  };

  /** Reads the plan again; the answer that was asked for last counts. */
  async readPlan(): Promise<void> {
    const asked = ++this.#asked;
    try {
      const read = await ask<PlanView>('GET', `/api/jobs/${this.id()}/plan`);
      if (asked !== this.#asked) return;
      const another = JSON.stringify(read.plan) !== JSON.stringify(this.#read?.plan);
      if (another) this.#read = read;
      if (another || !read.stale) this.mended = [];
      if (another) this.chosen = null;
      this.trouble = null;
    } catch (thrown) {
      if (asked === this.#asked) this.trouble = problemOf(thrown);
    }
  }

  async makePlan(): Promise<void> {
    this.chosen = null;
    await this.work.follow(() => ask<Task>('POST', `/api/jobs/${this.id()}/plan`));
    await this.shop.read();
    if (this.view?.plan) await this.readPlan();
  }

  /** Makes a mending's change; the plan does not know of it until it is made again. */
  async mend(mending: Mending): Promise<boolean> {
    const change = mending.change;
    if (!change) return false;
    await this.deed.run(() => this.shop.create<unknown>(`/api/jobs/${this.id()}/mend`, change satisfies Change));
    if (this.deed.problem) return false;
    this.mended = [...this.mended, mending];
    return true;
  }

  choose(index: number | null): void {
    this.chosen = this.chosen === index ? null : index;
  }

  /** Changes the job; throws what the shop answers, for the field that asked. */
  edit(change: (job: Job) => Job): Promise<Job> {
    return this.shop.editJob(this.id(), change);
  }

  /** Changes the job by a touch; what goes wrong shows in `deed`. */
  touch(change: (job: Job) => Job): Promise<unknown> {
    return this.deed.run(() => this.edit(change));
  }
}
