import type { Job } from '@/lib/wire/Job';
import type { Piece } from '@/lib/wire/Piece';

/** What the shop calls the change that a job's wood was sawn by. */
export const sawLabel = (job: string): string => `saw the wood of ${job}`;

/** Whether a job can have a piece: it is whole, or was sawn for this very job. */
export function isThere(piece: Piece, job: Job): boolean {
  return !piece.sawn || piece.sawn.job === job.id;
}
