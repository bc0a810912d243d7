import type { Shop } from '@/lib/shop.svelte';
import * as lists from '@/shop/lists';
import type { Blade } from '@/lib/wire/Blade';
import type { Clamp } from '@/lib/wire/Clamp';
import type { OwnRows } from '@/lib/wire/OwnRows';
import type { Person } from '@/lib/wire/Person';
import type { ShopKit } from '@/lib/wire/ShopKit';
import type { ZoneKind } from '@/lib/wire/ZoneKind';
import type { WorkingDay } from '@/lib/wire/WorkingDay';

/** The shop's kit in hand; every method keeps at once, and throws what the shop answers. */
export class KitEditor {
  constructor(private readonly shop: Shop) {}

  save(change: Partial<ShopKit>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, ...change }));
  }

  bandsaw(change: Partial<ShopKit['bandsaw']>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, bandsaw: { ...kit.bandsaw, ...change } }));
  }

  machines(change: Partial<ShopKit['machines']>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, machines: { ...kit.machines, ...change } }));
  }

  allowances(change: Partial<ShopKit['allowances']>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, allowances: { ...kit.allowances, ...change } }));
  }

  /** The way kept from a kind of fault; as far as from edges is no way of its own. */
  clearOf(kind: ZoneKind, mm: number): Promise<unknown> {
    return this.shop.editKit((kit) => {
      const { [kind]: _, ...others } = kit.clear_of;
      return { ...kit, clear_of: mm === kit.allowances.edge ? others : { ...others, [kind]: mm } };
    });
  }

  air(change: Partial<ShopKit['air']>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, air: { ...kit.air, ...change } }));
  }

  prices(change: Partial<ShopKit['prices']>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, prices: { ...kit.prices, ...change } }));
  }

  units(change: Partial<ShopKit['units']>): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, units: { ...kit.units, ...change } }));
  }

  own(change: (own: OwnRows) => OwnRows): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, own: change(kit.own) }));
  }

  addBlade(): Promise<unknown> {
    return this.#blades(lists.withBlade);
  }

  blade(id: number, change: Partial<Blade>): Promise<unknown> {
    return this.#blades((blades) => blades.map((it) => (it.id === id ? { ...it, ...change } : it)));
  }

  removeBlade(id: number): Promise<unknown> {
    return this.#blades((blades) => blades.filter((it) => it.id !== id));
  }

  addClamp(): Promise<unknown> {
    return this.#clamps(lists.withClamp);
  }

  /** Clamps have no number of their own; their place in the list is it. */
  clamp(index: number, change: Partial<Clamp>): Promise<unknown> {
    return this.#clamps((clamps) => clamps.map((it, at) => (at === index ? { ...it, ...change } : it)));
  }

  removeClamp(index: number): Promise<unknown> {
    return this.#clamps((clamps) => clamps.toSpliced(index, 1));
  }

  addPerson(): Promise<unknown> {
    return this.#people(lists.withPerson);
  }

  person(id: number, change: Partial<Person>): Promise<unknown> {
    return this.#people((people) => people.map((it) => (it.id === id ? { ...it, ...change } : it)));
  }

  removePerson(id: number): Promise<unknown> {
    return this.#people((people) => people.filter((it) => it.id !== id));
  }

  day(id: number, weekday: number, hours: WorkingDay | null): Promise<unknown> {
    return this.#people((people) => people.map((it) => (it.id === id ? lists.withDay(it, weekday, hours) : it)));
  }

  close(date: string): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, closed: lists.withDate(kit.closed, date) }));
  }

  open(date: string): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, closed: kit.closed.filter((it) => it !== date) }));
  }

  #blades(change: (blades: Blade[]) => Blade[]): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, bandsaw: { ...kit.bandsaw, blades: change(kit.bandsaw.blades) } }));
  }

  #clamps(change: (clamps: Clamp[]) => Clamp[]): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, clamps: change(kit.clamps) }));
  }

  #people(change: (people: Person[]) => Person[]): Promise<unknown> {
    return this.shop.editKit((kit) => ({ ...kit, people: change(kit.people) }));
  }
}
