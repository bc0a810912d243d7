import { expect, test } from 'vitest';
import { Answer } from '@/lib/answer.svelte';

test('an answer holds until something that it hangs on is another', async () => {
  const [piece, plank] = [{ id: 1 }, { id: 2 }];
  let hangsOn: unknown[] = [piece, 19];
  const answer = new Answer<string>(() => hangsOn);
  await answer.ask(async () => 'holds two');
  hangsOn = [piece, 19];
  expect(answer.value).toBe('holds two');
  hangsOn = [plank, 19];
  expect(answer.value).toBeNull();
});

test('an answer that comes after a change is for what was asked, and is not told', async () => {
  let thickness = 19;
  const answer = new Answer<string>(() => [thickness]);
  await answer.ask(async () => {
    thickness = 25;
    return 'holds two';
  });
  expect(answer.value).toBeNull();
});

test('asking in vain takes the answer before away', async () => {
  const answer = new Answer<string>(() => []);
  await answer.ask(async () => 'holds two');
  expect(answer.value).toBe('holds two');
  await answer.ask(async () => undefined);
  expect(answer.value).toBeNull();
});
