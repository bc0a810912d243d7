import { boxAround, boxAroundAll, grown, simplified, type Box } from '@/lib/geometry';
import { atBlade } from '@/sawing/pose';
import type { Sequence } from '@/sawing/sequence';
import type { Ring } from '@/lib/wire/Ring';

/** The column is drawn so far away from its near face, in millimetres. */
export const COLUMN = { deep: 70, wide: 150 };
/** How often it is looked where the work is, and how exactly its outline is taken for that. */
const LOOKED = 25;
const ABOUT = 6;
const AROUND = 20;

/** All that the work sweeps over at the saw, with table and column: the picture need not move. */
export function roomAtSaw(sequence: Sequence, held: readonly Ring[], table: number, throat: number): Box {
  const rough = held.map((it) => simplified(it, ABOUT));
  const boxes: Box[] = [
    { left: -table / 2, bottom: -table / 2, width: table, height: table },
    { left: -throat - COLUMN.deep, bottom: -COLUMN.wide / 2, width: COLUMN.deep, height: COLUMN.wide },
  ];
  for (let far = 0; far <= sequence.long; far += LOOKED) {
    const { doing, cut, pose } = sequence.at(far);
    if (doing !== 'led') boxes.push(boxAround((rough[cut] ?? []).map((it) => atBlade(pose, it))));
  }
  return grown(boxAroundAll(boxes.filter((it) => it.width > 0)), AROUND);
}
