import { onDestroy } from 'svelte';

/** A picture that the page can show. */
export interface Shown {
  url: string;
  /** In its own pixels, upright as its file says; the shop counts them in the same way. */
  width: number;
  height: number;
}

/** Less than this on a side shows nothing that could be marked. */
const LEAST_SIDE = 64;

/** The photograph that was chosen, and what the page can show of it. */
export class ChosenPhoto {
  file = $state.raw<File | null>(null);
  /** `null` while it is being read, or if this browser cannot. */
  shown = $state.raw<Shown | null>(null);
  /** Whether this browser can make nothing of it. */
  unseen = $state(false);

  #url: string | null = null;

  constructor() {
    onDestroy(() => this.#forget());
  }

  async take(file: File): Promise<void> {
    this.#forget();
    this.file = file;
    const url = (this.#url = URL.createObjectURL(file));
    const image = new Image();
    image.src = url;
    const seen = await image.decode().then(
      () => Math.min(image.naturalWidth, image.naturalHeight) >= LEAST_SIDE,
      () => false,
    );
    if (url !== this.#url) return;
    this.unseen = !seen;
    this.shown = seen ? { url, width: image.naturalWidth, height: image.naturalHeight } : null;
  }

  #forget(): void {
    if (this.#url) URL.revokeObjectURL(this.#url);
    this.#url = this.shown = null;
    this.unseen = false;
  }
}
