import type { Breach } from '@/jobs/hand/verdict';
import { breachesWords, type Names } from '@/jobs/hand/words';
import { capital } from '@/lib/words';
import type { Problem } from '@/lib/wire/Problem';
import type { Units } from '@/lib/wire/Units';
import type { Verdict } from '@/lib/wire/Verdict';

/** So many of the shop's faults are told at once. */
const FAULTS = 2;

/** What is known of a part in hand. */
export interface Known {
  remark: string;
  verdict: Verdict | null;
  breaches: readonly Breach[] | null;
  problem: Problem | null;
}

/** What is known in words: the shop's own when they have come, the page's until then. */
export function toldOf({ remark, verdict, breaches, problem }: Known, units: Units, names: Names): string {
  if (remark) return remark;
  if (verdict) return verdictWords(verdict);
  if (breaches) return breachesWords(breaches, units, names);
  return problem ? `Whether it may lie here is not known: ${problem.message}` : '';
}

function verdictWords({ faults }: Verdict): string {
  if (!faults.length) return 'It may lie here';
  const told = faults.slice(0, FAULTS).map((it) => capital(it.told.message));
  const more = faults.length - told.length;
  return told.join('. ') + (more ? `, and ${more} more` : '');
}
