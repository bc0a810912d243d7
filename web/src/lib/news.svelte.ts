import { getContext, setContext } from 'svelte';

/** What has come of work that was left to run. */
export interface Item {
  words: string;
  /** Where it is to be seen; nowhere if it failed. */
  place: string | null;
}

/** What is told wherever the maker is, until it has been looked at or put away. */
export class News {
  items = $state.raw<Item[]>([]);

  tell(words: string, place: string | null = null): void {
    this.items = [...this.items, { words, place }];
  }

  putAway(item: Item): void {
    this.items = this.items.filter((it) => it !== item);
  }

  /** Whoever has come to the place has no need to be told. */
  seen(place: string): void {
    if (this.items.some((it) => it.place === place)) this.items = this.items.filter((it) => it.place !== place);
  }
}

const NEWS = Symbol('news');

export function provideNews(): News {
  return setContext(NEWS, new News());
}

export function theNews(): News {
  return getContext<News>(NEWS);
}
