/** Brings an item of a list into view when it is chosen elsewhere, as on a drawing. */
export class Sight {
  #own = false;

  /** It was chosen by a touch of its own: it is in view. */
  touched(): void {
    this.#own = true;
  }

  follow(item: HTMLElement, chosen: boolean): void {
    if (chosen && !this.#own) item.scrollIntoView({ block: 'nearest' });
    this.#own = false;
  }
}
