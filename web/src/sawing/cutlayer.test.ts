import { expect, test } from 'vitest';
import { CutLayer } from '@/sawing/cutlayer.svelte';

/** What a device keeps. */
function aDevice() {
  const kept = new Map<string, string>();
  return { getItem: (key: string) => kept.get(key) ?? null, setItem: (key: string, text: string) => void kept.set(key, text) };
}

test('whether the cuts are drawn is remembered on the device', () => {
  const device = aDevice();
  const layer = new CutLayer(device);
  expect(layer.shown).toBe(false);
  layer.show(true);
  expect(new CutLayer(device).shown).toBe(true);
  layer.show(false);
  expect(new CutLayer(device).shown).toBe(false);
});

test('one cut is looked at, until it is touched again or the cuts are put away', () => {
  const layer = new CutLayer(aDevice());
  layer.show(true);
  layer.choose('piece-1', 2);
  expect([layer.numberOn('piece-1'), layer.numberOn('piece-2')]).toEqual([2, null]);
  layer.choose('piece-2', 2);
  expect(layer.isChosen('piece-1', 2)).toBe(false);
  layer.choose('piece-2', 2);
  expect(layer.chosen).toBeNull();
  layer.choose('piece-2', 1);
  layer.show(false);
  expect(layer.chosen).toBeNull();
});
