import { getContext, setContext } from 'svelte';

/** A timer that was set at the bench. */
export interface Timer {
  job: number;
  operation: number;
  /** The step it belongs to. */
  step: string;
  label: string;
  /** When it runs out, in milliseconds of this device's clock. */
  end: number;
  rung: boolean;
}

const KEPT_AS = 'treen-timers';
const TICK_MS = 500;
/** A timer that ran out so long ago is forgotten. */
const FORGOTTEN_MS = 7 * 86_400_000;

/** The timers of this device. They keep their end, so that a reload or a sleep loses no time. */
export class Timers {
  all = $state.raw<Timer[]>([]);
  now = $state(0);

  constructor(
    private readonly kept: Pick<Storage, 'getItem' | 'setItem'>,
    private readonly clock: () => number,
    private readonly ring: (timer: Timer) => void,
  ) {
    this.now = clock();
    this.#read();
  }

  /** Lets time pass, and follows the page's other windows; returns what ends that. */
  open(): () => void {
    const passing = setInterval(() => this.pass(), TICK_MS);
    const changed = (event: StorageEvent) => event.key === KEPT_AS && this.#read();
    addEventListener('storage', changed);
    return () => {
      clearInterval(passing);
      removeEventListener('storage', changed);
    };
  }

  /** Looks at the clock, and rings what has run out since. */
  pass(): void {
    this.now = this.clock();
    const due = this.all.filter((it) => !it.rung && it.end <= this.now);
    if (!due.length) return;
    this.#keep(this.all.map((it) => (due.includes(it) ? { ...it, rung: true } : it)));
    due.forEach((it) => this.ring(it));
  }

  start(timer: Omit<Timer, 'end' | 'rung'>, minutes: number): void {
    this.now = this.clock();
    this.#keep([...this.#others(timer.job, timer.step), { ...timer, end: this.now + minutes * 60_000, rung: false }]);
  }

  stop(job: number, step: string): void {
    this.#keep(this.#others(job, step));
  }

  of(job: number, step: string): Timer | undefined {
    return this.all.find((it) => it.job === job && it.step === step);
  }

  /** What is left, in seconds; below nothing once it has run out. */
  left(timer: Timer): number {
    return (timer.end - this.now) / 1000;
  }

  #others(job: number, step: string): Timer[] {
    return this.all.filter((it) => it.job !== job || it.step !== step);
  }

  #keep(timers: Timer[]): void {
    this.all = timers.sort((a, b) => a.end - b.end);
    this.kept.setItem(KEPT_AS, JSON.stringify(this.all));
  }

  #read(): void {
    const oldest = this.clock() - FORGOTTEN_MS;
    this.all = timersIn(this.kept.getItem(KEPT_AS)).filter((it) => it.end > oldest);
  }
}

/** What is no list of timers is none. */
function timersIn(text: string | null): Timer[] {
  try {
    const read: unknown = JSON.parse(text ?? '[]');
    return Array.isArray(read) ? read.filter(isTimer) : [];
  } catch {
    return [];
  }
}

function isTimer(it: unknown): it is Timer {
  const timer = it as Partial<Timer> | null;
  return typeof timer?.end === 'number' && typeof timer.step === 'string' && typeof timer.label === 'string';
}

const TIMERS = Symbol('timers');

export function provideTimers(timers: Timers): Timers {
  return setContext(TIMERS, timers);
}

export function theTimers(): Timers {
  return getContext<Timers>(TIMERS);
}
