import { onDestroy } from 'svelte';
import { sendFile, withQuery } from '@/lib/client';
import { theNews } from '@/lib/news.svelte';
import { theShop } from '@/lib/shop.svelte';
import { LongWork } from '@/lib/work.svelte';
import type { Task } from '@/lib/wire/Task';

/** A photo that is read in: whoever waits goes on to the thing, whoever has gone elsewhere is told of it. */
export class PhotoWork {
  readonly work = new LongWork('nothing');
  readonly #shop = theShop();
  readonly #news = theNews();
  #here = true;

  constructor(
    private readonly path: string,
    private readonly arrived: () => (id: number) => void,
  ) {
    onDestroy(() => (this.#here = false));
  }

  async bring(ask: { name: string }, photo: File): Promise<void> {
    const path = withQuery(this.path, { ask });
    const made = await this.work.follow((way) => sendFile<Task>(path, photo, way), 'sending the picture');
    if (made?.made !== 'piece' && made?.made !== 'pattern') {
      const why = this.work.problem ?? this.work.remarks[0];
      if (!this.#here) this.#news.tell(`${ask.name} was not brought in: ${why?.message ?? 'the work ended early'}`);
      return;
    }
    const place = `${made.made === 'piece' ? 'rack' : 'patterns'}/${made.id}`;
    this.#shop.remarks = { ...this.#shop.remarks, [place]: this.work.remarks };
    await this.#shop.read();
    if (this.#here) this.arrived()(made.id);
    else this.#news.tell(`${ask.name} has been brought in`, place);
  }
}
