import type { Breach } from '@/jobs/hand/verdict';
import { showFineLength, showLength, trimmed } from '@/lib/measure';
import { zonePhrases } from '@/lib/words';
import type { PartKey } from '@/lib/wire/PartKey';
import type { StripKey } from '@/lib/wire/StripKey';
import type { Units } from '@/lib/wire/Units';

/** How parts and strips are called. */
export interface Names {
  part: (part: PartKey) => string;
  strip: (strip: StripKey) => string;
}

/** A breach with its figure and its limit: `2.1 mm from a knot; 4 mm are kept clear`. */
export function breachWords(breach: Breach, units: Units, names: Names): string {
  const { against, figure } = breach;
  const { is, kept } = figuresOf(breach, units);
  if (against.kind === 'grain') return `the stem is turned ${is} from the grain; ${kept} is the most`;
  const keep = `${kept} ${isOne(kept) ? 'is' : 'are'} kept clear`;
  if (against.kind === 'edge') return figure < 0 ? `${is} past the edge of the wood; ${keep}` : `${is} from the edge of the wood; ${keep}`;
  const other = otherWords(against, names);
  return figure < 0 ? `${is} over ${other}; ${keep}` : `${is} from ${other}; ${keep}`;
}

/** The same as it stands on the drawing, beside its place: `2.1 mm of 4 mm`. */
export function breachFigures(breach: Breach, units: Units): string {
  const { is, kept } = figuresOf(breach, units);
  if (breach.against.kind === 'grain') return `${is}, at most ${kept}`;
  if (breach.figure >= 0) return `${is} of ${kept}`;
  return breach.against.kind === 'edge' ? `${is} past, ${kept} kept clear` : `${is} over, ${kept} kept clear`;
}

/** The worst breach in words, and how many more there are. */
export function breachesWords(breaches: readonly Breach[], units: Units, names: Names): string {
  const [worst, ...others] = breaches;
  if (!worst) return 'Nothing is in its way here';
  const words = breachWords(worst, units, names);
  const more = others.length ? `, and ${others.length} more` : '';
  return words.charAt(0).toUpperCase() + words.slice(1) + more;
}

/** Figure and limit as the maker reads them, finer where they would read alike. */
function figuresOf({ against, figure, limit }: Breach, units: Units): { is: string; kept: string } {
  if (against.kind === 'grain') return { is: `${trimmed(figure, 1)}°`, kept: `${trimmed(limit, 1)}°` };
  const size = Math.abs(figure);
  const [is, kept] = [showLength(size, units), showLength(limit, units)];
  if (figure < 0 || is !== kept) return { is, kept };
  const [fine, fineKept] = [showFineLength(size, units), showFineLength(limit, units)];
  return fine === fineKept ? { is: `just under ${kept}`, kept } : { is: fine, kept: fineKept };
}

/** Whether a length is one unit or less, and is spoken of as one thing. */
function isOne(shown: string): boolean {
  return /^(1|0(\.\d+)?|\d+\/\d+) /.test(shown);
}

function otherWords(against: Exclude<Breach['against'], { kind: 'grain' | 'edge' }>, names: Names): string {
  switch (against.kind) {
    case 'zone':
      return zonePhrases[against.zone.kind];
    case 'part':
      return names.part(against.part);
    case 'strip':
      return names.strip(against.strip);
  }
}
