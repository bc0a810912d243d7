import type { Job } from '@/lib/wire/Job';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Piece } from '@/lib/wire/Piece';
import type { Workpiece } from '@/lib/wire/Workpiece';

/** What knows the names of the things on the bench. */
export interface Names {
  piece: (id: number) => Piece | undefined;
  pattern: (id: number) => Pattern | undefined;
  job: Job | undefined;
}

/** What a workpiece is called: `Strips for Kitchen panel`, `Bread board 2`. */
export function workpieceName(it: Workpiece, names: Names): string {
  switch (it.is) {
    case 'piece':
      return names.piece(it.of)?.name ?? `Piece ${it.of}`;
    case 'strips':
      return `Strips for ${panelName(it.of, names)}`;
    case 'panel':
      return panelName(it.of, names);
    case 'part': {
      const want = names.job?.wants.find((one) => one.id === it.of.want);
      const name = (want && names.pattern(want.pattern)?.name) ?? 'Part';
      return want && want.count === 1 ? name : `${name} ${it.of.copy}`;
    }
  }
}

function panelName(id: number, { job }: Names): string {
  return job?.panels.find((it) => it.id === id)?.name ?? `Panel ${id}`;
}

/** The pattern that a workpiece is a part of. */
export function patternOf(it: Workpiece, names: Names): Pattern | undefined {
  if (it.is !== 'part') return undefined;
  const want = names.job?.wants.find((one) => one.id === it.of.want);
  return want && names.pattern(want.pattern);
}
