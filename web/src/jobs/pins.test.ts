import { describe, expect, test, vi } from 'vitest';
import { aJob, aPiece, aPlacement, board } from '@/jobs/examples';
import type { JobDesk } from '@/jobs/desk.svelte';
import { middlePin, placementsNow, withoutPin, withPin } from '@/jobs/pins';
import { PinTool } from '@/jobs/pintool.svelte';
import { arranged, groundsOf, onScene } from '@/jobs/scene';
import type { Camera } from '@/board/camera.svelte';
import type { Job } from '@/lib/wire/Job';
import type { Pin } from '@/lib/wire/Pin';

const pieces = [aPiece(1, 600, 200), aPiece(2, 600, 200)];
const pin: Pin = { part: { want: 1, copy: 1 }, face: { of: 'piece', id: 2 }, place: { at: [300, 50], turn: 90, mirrored: false } };
const patternOf = () => board;

describe('pins', () => {
  test('one part has one pin, and loses it', () => {
    const twice = withPin(withPin(aJob(), pin), { ...pin, place: { ...pin.place, turn: 0 } });
    expect(twice.choices.pins).toHaveLength(1);
    expect(twice.choices.pins[0]!.place.turn).toBe(0);
    expect(withoutPin(twice, pin.part).choices.pins).toEqual([]);
  });

  test('overrule the plan, before it is made again', () => {
    const planned = [aPlacement(1, 1, 'piece', 1), aPlacement(1, 2, 'piece', 1)];
    const [first, second] = placementsNow(planned, withPin(aJob(), pin), patternOf);
    expect(first).toMatchObject({ face: { id: 2 }, pinned: true });
    // Turned a quarter about its corner: x 260..300, y 50..150.
    expect(first!.outline.outer[2]![0]).toBeCloseTo(260);
    expect(first!.outline.outer[2]![1]).toBeCloseTo(150);
    expect(second).toMatchObject({ face: { id: 1 }, pinned: false });
  });

  test('lay a part that the plan left out, but none that is not wanted any more', () => {
    const job = withPin(aJob(), pin);
    expect(placementsNow([], job, patternOf)).toHaveLength(1);
    const fewer = { ...job, wants: [] };
    expect(placementsNow([aPlacement(1, 1, 'piece', 1)], fewer, patternOf)).toEqual([]);
  });

  test('the first guess lays the middle on the middle', () => {
    const guess = middlePin(pin.part, pin.face, pieces[1]!.face.outline, board);
    expect(guess.place).toEqual({ at: [250, 80], turn: 0, mirrored: false });
  });
});

/** A desk that keeps the job here, as the shop would. */
function aDesk() {
  let job: Job = aJob();
  const placements = [aPlacement(1, 1, 'piece', 1), aPlacement(1, 2, 'piece', 1, { at: [200, 10], turn: 0, mirrored: false })];
  const layout = { placements, strips: [], unplaced: [], unplaced_strips: [], offcuts: [], used: [] };
  const desk = {
    get job() {
      return job;
    },
    layout,
    work: { running: false },
    patternOf,
    touch: (change: (it: Job) => Job) => Promise.resolve((job = change(job))),
  };
  const { grounds } = arranged(groundsOf(job, pieces), new Set(), { width: 800, height: 420, narrow: false });
  let coarse = false;
  const tool = new PinTool(desk as unknown as JobDesk, () => grounds, () => false, () => coarse);
  return { desk, grounds, tool, fingers: () => (coarse = true) };
}

const camera = { sees: () => true } as unknown as Camera;
const press = (key: string, shiftKey = false) => ({ key, shiftKey }) as KeyboardEvent;

describe('the hand', () => {
  test('drags a part to another piece, to a tenth of a millimetre', async () => {
    const { desk, grounds, tool } = aDesk();
    const from = onScene(grounds[0]!, [20, 20]);
    const to = onScene(grounds[1]!, [120.04, 80]);
    expect(tool.down(from, 10)).toBe(true);
    tool.move(to);
    tool.up(to);
    await vi.waitFor(() => expect(tool.held).toBeNull());
    expect(desk.job.choices.pins).toEqual([
      { part: { want: 1, copy: 1 }, face: { of: 'piece', id: 2 }, place: { at: [110, 70], turn: 0, mirrored: false } },
    ]);
  });

  test('a touch without a move takes the part and pins nothing', () => {
    const { desk, grounds, tool } = aDesk();
    const at = onScene(grounds[0]!, [20, 20]);
    tool.down(at, 10);
    tool.move([at[0] + 1, at[1]]);
    tool.up([at[0] + 1, at[1]]);
    expect(tool.part).toEqual({ want: 1, copy: 1 });
    expect(desk.job.choices.pins).toEqual([]);
  });

  test('a finger moves the drawing until it has taken the part', () => {
    const { grounds, tool, fingers } = aDesk();
    fingers();
    const at = onScene(grounds[0]!, [20, 20]);
    expect(tool.down(at, 10)).toBe(false);
    tool.tap(at, 10);
    expect(tool.down(at, 10)).toBe(true);
  });
});

describe('the keys', () => {
  test('choose, move by 1 and 10 mm, turn about the middle, and are one change', async () => {
    vi.useFakeTimers();
    const { desk, tool } = aDesk();
    const touch = vi.spyOn(desk, 'touch');
    for (const key of ['.', '.', 'ArrowRight', 'ArrowUp']) expect(tool.key(press(key), camera)).toBe(true);
    tool.key(press('ArrowRight', true), camera);
    expect(tool.held?.place.at).toEqual([211, 11]);
    for (let turn = 0; turn < 18; turn++) tool.key(press('['), camera);
    await vi.runAllTimersAsync();
    vi.useRealTimers();
    expect(touch).toHaveBeenCalledTimes(1);
    const [kept] = desk.job.choices.pins;
    // The middle stays at (261, 31); after a quarter turn the corner is at (281, -19).
    expect(kept).toEqual({ part: { want: 1, copy: 2 }, face: { of: 'piece', id: 1 }, place: { at: [281, -19], turn: 90, mirrored: false } });
  });

  test('Delete takes the pin off', async () => {
    const { desk, tool } = aDesk();
    tool.key(press('.'), camera);
    await tool.pin();
    expect(desk.job.choices.pins).toHaveLength(1);
    tool.key(press('Delete'), camera);
    await vi.waitFor(() => expect(desk.job.choices.pins).toEqual([]));
  });

  test('arrows are left to the drawing while no part is in hand', () => {
    expect(aDesk().tool.key(press('ArrowRight'), camera)).toBe(false);
  });
});
