import type { FarPhotoAsk } from '@/lib/wire/FarPhotoAsk';
import type { SheetsAt } from '@/lib/wire/SheetsAt';

/** What tells how large the wood in a photograph is. */
export class Scale {
  sheets = $state<SheetsAt>('on_top');
  /** The sheet's 200 mm line as it came out of the printer. */
  checkLine = $state<number | null>(null);

  /** As it is asked for, of either face. */
  ask(): FarPhotoAsk {
    return { sheets: this.sheets, check_line: this.checkLine, known: [] };
  }
}
