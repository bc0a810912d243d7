import { beforeEach, describe, expect, test, vi } from 'vitest';
import { Timers } from '@/bench/timers.svelte';

const glue = { job: 1, operation: 4, step: 'glue:hand:panel1:1/3', label: 'Leave the clamps on' };
const MINUTE = 60_000;

/** A device: its storage stays when the page is opened again, and its clock goes on. */
class Device {
  kept = new Map<string, string>();
  time = 1_000_000;
  ring = vi.fn();

  page(): Timers {
    const storage = {
      getItem: (key: string) => this.kept.get(key) ?? null,
      setItem: (key: string, text: string) => void this.kept.set(key, text),
    };
    return new Timers(storage, () => this.time, this.ring);
  }
}

describe('timers', () => {
  let device: Device;
  let page: Timers;
  beforeEach(() => {
    device = new Device();
    page = device.page();
  });

  const leftOf = (timers: Timers) => timers.left(timers.of(1, glue.step)!);

  test('count down by the clock, not by their ticks', () => {
    page.start(glue, 45);
    expect(leftOf(page)).toBe(45 * 60);
    device.time += 10 * MINUTE;
    page.pass();
    expect(leftOf(page)).toBe(35 * 60);
  });

  test('go on while the page is away', () => {
    page.start(glue, 45);
    device.time += 44 * MINUTE;
    expect(leftOf(device.page())).toBe(60);
  });

  test('ring once, also when they ran out while the page was away', () => {
    page.start(glue, 45);
    device.time += 50 * MINUTE;
    const again = device.page();
    again.pass();
    again.pass();
    expect(device.ring).toHaveBeenCalledOnce();
    expect(leftOf(again)).toBe(-5 * 60);
    device.page().pass();
    expect(device.ring).toHaveBeenCalledOnce();
  });

  test('the one that ends first comes first; a step has one timer', () => {
    page.start(glue, 45);
    page.start({ ...glue, step: 'other' }, 5);
    page.start(glue, 30);
    expect(page.all.map((it) => it.step)).toEqual(['other', glue.step]);
    expect(leftOf(page)).toBe(30 * 60);
  });

  test('stopping takes it out of the storage too', () => {
    page.start(glue, 45);
    page.stop(1, glue.step);
    expect(device.page().all).toEqual([]);
  });

  test('nonsense in the storage is no timer, and a week later all is forgotten', () => {
    for (const text of ['not json', '{"end":1}', '[{"end":"soon"}]', '[null]']) {
      device.kept.set('treen-timers', text);
      expect(device.page().all).toEqual([]);
    }
    page.start(glue, 1);
    device.time += 8 * 24 * 60 * MINUTE;
    expect(device.page().all).toEqual([]);
  });
});
