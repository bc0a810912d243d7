import { afterEach, describe, expect, test, vi } from 'vitest';
import { JobDesk } from '@/jobs/desk.svelte';
import { aFinding, aJob, board } from '@/jobs/examples';
import type { Shop } from '@/lib/shop.svelte';
import type { Mending } from '@/lib/wire/Mending';
import type { PlanView } from '@/lib/wire/PlanView';

const mending: Mending = { label: 'unpin it', change: { change: 'unpin', part: { want: 1, copy: 1 } } };

function aPlan(name: string, stale = false): PlanView {
  const plan = { parts: [{ part: { want: 1, copy: 1 }, name }], findings: [aFinding({ on: 'job' })], layout: { placements: [] } };
  return { stale, plan } as unknown as PlanView;
}

function aDesk(stale = false) {
  const state = { stale, stops: 0, mends: 1, ready_on: '2026-11-30' };
  const create = vi.fn(() => Promise.resolve(undefined));
  const shop = {
    job: () => ({ job: aJob(), plan: state, steps: 0, steps_done: 0 }),
    pattern: () => board,
    create,
    read: () => Promise.resolve(),
  };
  return { desk: new JobDesk(shop as unknown as Shop, () => 1), create };
}

/** The shop's answers, in the order that they are let go. */
function answers(): ((view: PlanView) => void)[] {
  const waiting: ((view: PlanView) => void)[] = [];
  vi.stubGlobal('fetch', () => new Promise((resolve) => waiting.push((view) => resolve(new Response(JSON.stringify(view))))));
  return waiting;
}

afterEach(() => vi.unstubAllGlobals());

describe('a job in hand', () => {
  test('shows the plan that was asked for last, whichever comes first', async () => {
    const waiting = answers();
    const { desk } = aDesk();
    const [first, second] = [desk.readPlan(), desk.readPlan()];
    waiting[1]!(aPlan('new'));
    await second;
    waiting[0]!(aPlan('old'));
    await first;
    expect(desk.plan?.parts[0]?.name).toBe('new');
  });

  test('keeps the finding that is looked at while the plan stays the same', async () => {
    const waiting = answers();
    const { desk } = aDesk();
    const read = async (view: PlanView) => {
      const done = desk.readPlan();
      waiting.shift()!(view);
      await done;
    };
    await read(aPlan('a'));
    desk.choose(0);
    await read(aPlan('a', true));
    expect(desk.chosen).toBe(0);
    await read(aPlan('b'));
    expect(desk.chosen).toBeNull();
    desk.choose(0);
    desk.choose(0);
    expect(desk.chosen).toBeNull();
  });

  test('a mending goes to the shop and counts as done until the plan is made again or it is undone', async () => {
    const waiting = answers();
    const { desk, create } = aDesk(true);
    expect(await desk.mend(mending)).toBe(true);
    expect(create).toHaveBeenCalledWith('/api/jobs/1/mend', mending.change);
    expect(desk.mended).toEqual([mending]);
    const stale = desk.readPlan();
    waiting[0]!(aPlan('a', true));
    await stale;
    await desk.mend(mending);
    const again = desk.readPlan();
    waiting[1]!(aPlan('a', false));
    await again;
    expect(desk.mended).toEqual([]);
  });

  test('a mending that the shop refuses is not done, and a thing for the hand is not sent', async () => {
    const { desk, create } = aDesk();
    expect(await desk.mend({ label: 'slot the hole', change: null })).toBe(false);
    expect(create).not.toHaveBeenCalled();
    create.mockRejectedValueOnce(new Error('there is no such part'));
    expect(await desk.mend(mending)).toBe(false);
    expect(desk.deed.problem?.message).toBe('there is no such part');
    expect(desk.mended).toEqual([]);
  });

  test('names a part by its pattern and number before it is planned', () => {
    expect(aDesk().desk.partName({ want: 1, copy: 2 })).toBe('Board 2');
  });
});
