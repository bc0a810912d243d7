import { describe, expect, test } from 'vitest';
import { twoCuts } from '@/sawing/examples';
import { Player } from '@/sawing/player.svelte';
import { Sequence } from '@/sawing/sequence';

function aPlayer(still = false) {
  const sequence = new Sequence(twoCuts);
  const player = new Player(sequence, () => still);
  const press = (key: string, shiftKey = false) => player.key(new KeyboardEvent('keydown', { key, shiftKey }));
  return { sequence, player, press };
}

describe('the sawing as it is played', () => {
  test('goes on with the time, stops at the end, and begins anew from there', () => {
    const { player, sequence } = aPlayer();
    player.play();
    player.tick(40);
    expect(player.far).toBeCloseTo(3);
    player.to(sequence.long - 1);
    player.tick(100);
    expect([player.far, player.playing]).toEqual([sequence.long, false]);
    player.play();
    expect([player.far, player.playing]).toEqual([0, true]);
  });

  test('does not catch up what was missed while nobody looked', () => {
    const { player } = aPlayer();
    player.play();
    player.tick(60_000);
    expect(player.far).toBeCloseTo(7.5);
  });

  test('does not run by itself for those who want no motion, and is stepped all the same', () => {
    const { player, sequence } = aPlayer(true);
    player.play();
    expect(player.playing).toBe(false);
    player.next();
    expect([player.cut, player.far]).toEqual([1, sequence.beginOf(1)]);
  });

  test('goes from cut to cut: back to this one’s beginning first, then to the one before', () => {
    const { player, sequence } = aPlayer();
    player.to(sequence.beginOf(1) + 50);
    player.before();
    expect(player.far).toBe(sequence.beginOf(1));
    player.before();
    expect(player.far).toBe(0);
    player.before();
    expect(player.far).toBe(0);
    player.toCut(9);
    expect(player.cut).toBe(1);
    player.next();
    expect(player.atEnd).toBe(true);
  });

  test('is worked by the keys, and leaves the others to the board', () => {
    const { player, press } = aPlayer();
    press('ArrowRight');
    press('ArrowRight', true);
    expect(player.far).toBe(22);
    press('ArrowLeft');
    expect(player.far).toBe(2);
    press(' ');
    expect(player.playing).toBe(true);
    press('End');
    expect(player.atEnd).toBe(true);
    press('Home');
    expect(player.far).toBe(0);
    expect(press('+')).toBe(false);
  });
});
