import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { Camera } from '@/board/camera.svelte';
import { aJob, aPiece, aPlacement, board } from '@/jobs/examples';
import type { JobDesk } from '@/jobs/desk.svelte';
import { aZone, box } from '@/jobs/hand/examples';
import { PinTool } from '@/jobs/pintool.svelte';
import { arranged, groundsOf, onScene } from '@/jobs/scene';
import type { HandRules } from '@/lib/wire/HandRules';
import type { Job } from '@/lib/wire/Job';
import type { Pin } from '@/lib/wire/Pin';
import type { Point } from '@/lib/wire/Point';

const rules: HandRules = {
  edge: 4,
  zones: [{ face: { of: 'piece', id: 1 }, kind: 'knot', area: box(400, 90, 20, 20), wants: [1], clear: 5 }],
  gaps: [{ one: 1, other: 1, clear: 3 }],
  strips: [],
  live: [],
};
const bare = aPiece(1, 600, 200);
const pieces = [{ ...bare, face: { ...bare.face, zones: [aZone(1, box(400, 90, 20, 20))] } }];
const camera = { sees: () => true } as unknown as Camera;
const key = (name: string, held: Partial<KeyboardEvent> = {}) => ({ key: name, shiftKey: false, ...held }) as KeyboardEvent;

/** What the shop is asked, and answers when told to. */
const shop = { asked: [] as { path: string; body?: Pin }[], answers: [] as ((response: Response) => void)[] };

beforeEach(() => {
  [shop.asked, shop.answers] = [[], []];
  vi.stubGlobal('fetch', (path: string, { body }: RequestInit) => {
    shop.asked.push({ path, ...(body ? { body: JSON.parse(body as string) as Pin } : {}) });
    if (path.endsWith('/hand')) return Promise.resolve(new Response(JSON.stringify(rules)));
    return new Promise<Response>((answer) => shop.answers.push(answer));
  });
});
afterEach(() => vi.unstubAllGlobals());

/** A board in hand at (10, 10) on a plank with a knot, and another at (200, 10). */
async function inHand() {
  let job = $state.raw<Job>(aJob());
  const placements = [aPlacement(1, 1, 'piece', 1), aPlacement(1, 2, 'piece', 1, { at: [200, 10], turn: 0, mirrored: false })];
  const desk = {
    get job() {
      return job;
    },
    layout: { placements, strips: [], unplaced: [], unplaced_strips: [], offcuts: [], used: [] },
    work: { running: false },
    patternOf: () => board,
    touch: (change: (it: Job) => Job) => Promise.resolve((job = change(job))),
  };
  const { grounds } = arranged(groundsOf({ ...aJob(), pieces: [1] }, pieces), new Set(), { width: 800, height: 420, narrow: false });
  const tool = new PinTool(desk as unknown as JobDesk, () => grounds, () => false, () => false);
  await tool.hand.readRules();
  tool.take({ want: 1, copy: 1 });
  const spot = (x: number, y: number): Point => onScene(grounds[0]!, [x, y]);
  return { tool, desk, spot };
}

/** Drags the board from its middle, so that its corner comes here. */
function drag(tool: PinTool, spot: (x: number, y: number) => Point, x: number, y: number, loose = false): void {
  tool.down(spot(60, 30), 10);
  tool.move(spot(50 + x, 20 + y), loose);
}

describe('a part in hand', () => {
  test('is judged at every move, and by nothing before the figures are there', async () => {
    const { tool, spot } = await inHand();
    expect([tool.hand.may, tool.hand.breaches]).toEqual([true, []]);
    drag(tool, spot, 350, 80);
    expect(tool.hand.may).toBe(false);
    expect(tool.hand.breaches!.map((it) => it.against.kind)).toEqual(['zone']);
    drag(tool, spot, 120, 100);
    expect(tool.hand.may).toBe(true);
    vi.stubGlobal('fetch', () => Promise.reject(new Error('offline')));
    const unknown = new PinTool({ job: aJob(), layout: null, patternOf: () => board } as unknown as JobDesk, () => [], () => false, () => false);
    await unknown.hand.readRules();
    expect([unknown.hand.may, unknown.hand.breaches]).toEqual([null, null]);
    expect(unknown.hand.problem?.message).toBe('the shop does not answer');
  });

  test('is drawn to contact while dragged, unless Alt or the button holds that off', async () => {
    const { tool, spot, desk } = await inHand();
    drag(tool, spot, 95.4, 100);
    expect(tool.held!.place.at).toEqual([95.4, 100]);
    drag(tool, spot, 98.6, 12);
    expect(tool.held!.place.at).toEqual([97, 12]);
    drag(tool, spot, 98.6, 12, true);
    expect(tool.held!.place.at).toEqual([98.6, 12]);
    tool.hand.snaps = false;
    drag(tool, spot, 98.6, 12);
    expect(tool.held!.place.at).toEqual([98.6, 12]);
    tool.hand.snaps = true;
    drag(tool, spot, 98.6, 2.5);
    tool.up(spot(0, 0));
    await vi.waitFor(() => expect(tool.held).toBeNull());
    expect(desk.job.choices.pins[0]!.place.at).toEqual([97, 4]);
  });

  test('keys push it until it touches, and lay it with the grain', async () => {
    const { tool } = await inHand();
    expect(tool.controlKey(key('ArrowRight'), camera)).toBe(true);
    expect(tool.held!.place.at).toEqual([97, 10]);
    tool.controlKey(key('ArrowUp'), camera);
    tool.controlKey(key('ArrowRight'), camera);
    expect(tool.held!.place.at[1]).toBe(156);
    expect(tool.held!.place.at[0]).toBe(496);
    expect(tool.controlKey(key('z'), camera)).toBe(false);
    tool.controlKey(key('ArrowDown'), camera);
    tool.key(key('['), camera);
    tool.key(key('['), camera);
    expect(tool.held!.place.turn).toBeCloseTo(10);
    tool.key(key('g'), camera);
    expect(tool.held!.place.turn).toBeCloseTo(0);
    tool.key(key('['), camera);
    tool.key(key('ArrowRight', { shiftKey: true }), camera);
    tool.key(key('}', { shiftKey: true }), camera);
    expect(tool.held!.place.turn).toBe(0);
    tool.take(null);
    expect(tool.controlKey(key('ArrowRight'), camera)).toBe(false);
  });

  test('with no free place the way it is pushed stays, and says so', async () => {
    const { tool } = await inHand();
    tool.shift(0, 300);
    tool.push([0, 1]);
    expect(tool.hand.remark).toBe('No place that way where it may lie');
    expect(tool.held!.place.at).toEqual([10, 310]);
    tool.push([0, -1]);
    expect([tool.hand.remark, tool.held!.place.at]).toEqual(['', [10, 156]]);
  });

  test('is turned by its knob, and stops at the grain', async () => {
    const { tool, spot } = await inHand();
    expect(tool.down(spot(60, 67), 10)).toBe(true);
    tool.move(spot(20, 30));
    expect(tool.held!.place.turn).toBeCloseTo(90);
    tool.move(spot(59, 90));
    expect(tool.held!.place.turn).toBe(0);
    tool.move(spot(59, 90), true);
    expect(tool.held!.place.turn).toBeCloseTo(1);
  });
});

describe('the shop is asked about a place', () => {
  const place = (x: number): Pin => ({ part: { want: 1, copy: 1 }, face: { of: 'piece', id: 1 }, place: { at: [x, 10], turn: 0, mirrored: false } });
  const answer = (faults: unknown[], status = 200) => shop.answers.shift()!(new Response(JSON.stringify(status === 200 ? { faults } : { message: 'no' }), { status }));
  const judged = () => shop.asked.filter((it) => it.path === '/api/jobs/1/verdict').map((it) => it.body!.place.at[0]);
  const settled = () => new Promise((done) => setTimeout(done));

  test('with one question at a time, the last of those that wait', async () => {
    const { tool } = await inHand();
    for (const x of [20, 21, 22]) void tool.hand.judge(place(x));
    await settled();
    expect(judged()).toEqual([20]);
    answer([]);
    await vi.waitFor(() => expect(judged()).toEqual([20, 22]));
    answer([]);
    await settled();
    expect(judged()).toEqual([20, 22]);
  });

  test('and its word stands in place of the page’s, for that place only', async () => {
    const { tool } = await inHand();
    void tool.hand.judge(place(10));
    await settled();
    answer([{ told: { message: 'needs more thickness', hint: null }, parts: [{ want: 1, copy: 2 }] }]);
    await vi.waitFor(() => expect(tool.hand.may).toBe(false));
    expect(tool.hand.concerned).toEqual([{ want: 1, copy: 2 }]);
    tool.shift(1, 0);
    expect([tool.hand.verdict, tool.hand.may]).toEqual([null, true]);
  });

  test('and if it does not answer, the page’s own word stays', async () => {
    const { tool } = await inHand();
    tool.shift(-8, 0);
    void tool.hand.judge(place(2));
    await settled();
    answer([], 500);
    await settled();
    expect([tool.hand.verdict, tool.hand.may]).toEqual([null, false]);
    expect(tool.hand.breaches![0]!.against.kind).toBe('edge');
  });
});
