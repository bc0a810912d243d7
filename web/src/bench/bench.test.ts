import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { Bench } from '@/bench/bench.svelte';
import type { BenchView } from '@/lib/wire/BenchView';
import type { Tick } from '@/lib/wire/Tick';

/** A shop that keeps ticks, and answers when it is let. */
class FarShop {
  marks = new Map<string, string>();
  refuses = false;
  holds: (() => void)[] | null = null;

  view(): BenchView {
    const steps = (keys: string[]) => keys.map((key) => {
      const note = this.marks.get(key);
      return { key, text: key, timer: null, done: note === undefined ? null : { at: '2026-11-25T14:05', note } };
    });
    const operation = (id: number, keys: string[]) => ({ operation: { id } as never, slot: null, steps: steps(keys) });
    return { name: 'Harvest supper', operations: [operation(1, ['a', 'b']), operation(2, ['c'])] };
  }

  fetch = async (_path: string, how: RequestInit): Promise<Response> => {
    if (this.holds) await new Promise<void>((let_go) => this.holds!.push(let_go));
    if (this.refuses) return new Response('{"message":"the folder is full","hint":null}', { status: 500 });
    if (how.method === 'PUT') {
      const tick = JSON.parse(how.body as string) as Tick;
      if (tick.done) this.marks.set(tick.key, tick.note);
      else this.marks.delete(tick.key);
    }
    return Response.json(this.view());
  };
}

describe('the bench', () => {
  let shop: FarShop;
  let bench: Bench;
  const step = (key: string) => bench.steps.find((it) => it.key === key)!;

  beforeEach(async () => {
    shop = new FarShop();
    vi.stubGlobal('fetch', shop.fetch);
    bench = new Bench(1);
    await bench.read();
  });
  afterEach(() => vi.unstubAllGlobals());

  test('begins at the first operation that is not done', async () => {
    expect(bench.next?.operation.id).toBe(1);
    await bench.check(step('a'), true);
    await bench.check(step('b'), true);
    expect(bench.next?.operation.id).toBe(2);
    expect([bench.stepsDone, bench.steps.length]).toEqual([2, 3]);
  });

  test('a tick shows before the shop has answered', async () => {
    shop.holds = [];
    const sent = bench.check(step('a'), true);
    expect(bench.isDone(step('a'))).toBe(true);
    expect(step('a').done).toBeNull();
    await vi.waitFor(() => expect(shop.holds).toHaveLength(1));
    shop.holds.forEach((let_go) => let_go());
    await sent;
    expect(step('a').done?.at).toBe('2026-11-25T14:05');
  });

  test('a tick that is refused is taken back, and the step says why', async () => {
    shop.refuses = true;
    await expect(bench.check(step('a'), true)).rejects.toThrow('the folder is full');
    expect(bench.isDone(step('a'))).toBe(false);
  });

  test('what another device checked off comes in, never over a tick on its way', async () => {
    shop.marks.set('c', '');
    shop.holds = [];
    const sent = [bench.read(), bench.check(step('a'), true), bench.read()];
    for (const turn of [1, 2, 3]) {
      await vi.waitFor(() => expect(shop.holds).toHaveLength(turn));
      expect(bench.isDone(step('a'))).toBe(true);
      shop.holds.at(-1)!();
    }
    await Promise.all(sent);
    expect(bench.stepsDone).toBe(2);
  });

  test('a note stays with its step, also when it was opened by mistake', async () => {
    await bench.check(step('a'), true);
    await bench.tell(step('a'), 'blade wandered at the neck');
    await bench.check(step('a'), false);
    expect(step('a').done).toBeNull();
    await bench.check(step('a'), true);
    expect(step('a').done?.note).toBe('blade wandered at the neck');
  });
});
