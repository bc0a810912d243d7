import { ChosenPhoto } from '@/rack/chosenphoto.svelte';
import { MarkedLength } from '@/rack/markedlength.svelte';
import type { FarPhotoAsk } from '@/lib/wire/FarPhotoAsk';
import type { SheetsAt } from '@/lib/wire/SheetsAt';

/** A photograph, and what tells how large the wood in it is. */
export class Scale {
  readonly photo = new ChosenPhoto();
  by = $state<'sheets' | 'lengths'>('sheets');
  sheets = $state<SheetsAt>('on_top');
  /** The sheet's 200 mm line as it came out of the printer. */
  checkLine = $state<number | null>(null);
  /** Whether the marks on the picture were called for, and are to be looked at at once. */
  called = false;
  readonly lengths = [
    new MarkedLength('A', 'along', [[0.2, 0.5], [0.8, 0.5]]),
    new MarkedLength('B', 'across', [[0.5, 0.3], [0.5, 0.7]]),
  ];

  take = (file: File): void => {
    for (const length of this.lengths) length.takeUp();
    void this.photo.take(file);
  };

  /** Goes over to lengths, with the first end in hand. */
  callLengths(): void {
    this.by = 'lengths';
    this.called = true;
  }

  /** As it is asked for, of either face. */
  ask(): FarPhotoAsk {
    const known = this.by === 'lengths' ? this.lengths.map((it) => it.ask()) : [];
    return { sheets: this.sheets, check_line: this.checkLine, known };
  }
}
