import type { Problem } from '@/lib/wire/Problem';

/** A Problem on its way to the person who can mend it. */
export class Trouble extends Error {
  readonly problem: Problem;

  constructor(problem: Problem) {
    super(problem.message);
    this.problem = problem;
  }
}

/** Whatever was thrown, as a Problem that can be shown. */
export function problemOf(thrown: unknown): Problem {
  if (thrown instanceof Trouble) return thrown.problem;
  const message = thrown instanceof Error ? thrown.message : String(thrown);
  return { message, hint: null };
}
