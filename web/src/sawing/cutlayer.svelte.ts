/** Where it is kept on this device whether the cuts are drawn. */
const KEPT_AS = 'treen.cuts';

/** A cut of a face, by its number on the face's sheet. */
export interface ChosenCut {
  /** The face's key. */
  face: string;
  number: number;
}

/** What of the cuts is drawn on a job's wood; this device's own, and never part of the job. */
export class CutLayer {
  #shown = $state(false);
  /** Whether it is told how much is left on the parts for the sander. */
  left = $state(false);
  /** The cut that is looked at. */
  chosen = $state.raw<ChosenCut | null>(null);
  /** Whether the cuts are listed beside the wood, and not the findings. */
  listed = $state(true);

  constructor(private readonly kept: Pick<Storage, 'getItem' | 'setItem'>) {
    this.#shown = kept.getItem(KEPT_AS) === 'shown';
  }

  get shown(): boolean {
    return this.#shown;
  }

  /** Draws the cuts or leaves them away, and remembers it. */
  show(yes: boolean): void {
    this.#shown = this.listed = yes;
    if (!yes) this.chosen = null;
    this.kept.setItem(KEPT_AS, yes ? 'shown' : 'away');
  }

  /** Looks at a cut, or no longer if it was looked at already. */
  choose(face: string, number: number): void {
    this.chosen = this.isChosen(face, number) ? null : { face, number };
    this.listed = true;
  }

  isChosen(face: string, number: number): boolean {
    return this.chosen?.face === face && this.chosen.number === number;
  }

  /** The number that is looked at on a face. */
  numberOn(face: string): number | null {
    return this.chosen?.face === face ? this.chosen.number : null;
  }
}
