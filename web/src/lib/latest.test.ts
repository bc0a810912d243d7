import { afterEach, expect, test, vi } from 'vitest';
import { Latest } from '@/lib/latest.svelte';

afterEach(() => vi.unstubAllGlobals());

test('a slow answer does not write over that to a later question', async () => {
  const waiting: Record<string, (answer: Response) => void> = {};
  vi.stubGlobal('fetch', (path: string) => new Promise<Response>((done) => (waiting[path] = done)));
  const latest = new Latest<number>();
  const [first, second] = [latest.ask('/first'), latest.ask('/second')];
  waiting['/second']!(new Response('2'));
  waiting['/first']!(new Response('1'));
  await Promise.all([first, second]);
  expect(latest.value).toBe(2);
});

test('a refusal takes the answer away and says why', async () => {
  vi.stubGlobal('fetch', async (path: string) =>
    path === '/good' ? new Response('5') : new Response('{"message":"no such room"}', { status: 422 }),
  );
  const latest = new Latest<number>();
  await latest.ask('/good');
  expect([latest.value, latest.problem]).toEqual([5, null]);
  await latest.ask('/bad');
  expect([latest.value, latest.problem?.message]).toEqual([null, 'no such room']);
});
