import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { sendFile } from '@/lib/client';
import { LongWork } from '@/lib/work.svelte';
import type { Task } from '@/lib/wire/Task';

/** A request as the browser would make it, answered by the test. */
class Request {
  static last: Request;
  upload: { onprogress?: (event: object) => void; onload?: () => void } = {};
  status = 0;
  responseText = '';
  onload?: () => void;
  onabort?: () => void;
  constructor() {
    Request.last = this;
  }
  open(): void {}
  setRequestHeader(): void {}
  send(): void {}
  abort(): void {
    this.onabort?.();
  }
  answer(status: number, text: string): void {
    Object.assign(this, { status, responseText: text });
    this.onload?.();
  }
}

class Events {
  static last: Events;
  onmessage?: (message: { data: string }) => void;
  constructor() {
    Events.last = this;
  }
  close(): void {}
  tell(event: object): void {
    this.onmessage?.({ data: JSON.stringify(event) });
  }
}

const asked: string[] = [];

beforeEach(() => {
  asked.length = 0;
  vi.stubGlobal('XMLHttpRequest', Request);
  vi.stubGlobal('EventSource', Events);
  vi.stubGlobal('fetch', async (path: string) => {
    asked.push(path);
    return new Response(null, { status: 204 });
  });
});
afterEach(() => vi.unstubAllGlobals());

const send = (work: LongWork) => work.follow((way) => sendFile<Task>('/photo', new Blob(['wood']), way), 'sending the picture');
const turn = () => new Promise((done) => setTimeout(done));

test('the sending tells how far it has come, and a stop ends it there', async () => {
  const work = new LongWork('nothing');
  const end = send(work);
  Request.last.upload.onprogress?.({ loaded: 3, total: 4 });
  expect([work.label, work.share]).toEqual(['sending the picture', 0.75]);
  await work.stop();
  expect(await end).toBeNull();
  expect([work.running, work.problem, work.remarks[0]?.message]).toEqual([false, null, 'the sending was stopped']);
  expect(asked).toEqual([]);
});

test('a stop after all was sent, before the shop has answered, reaches the measuring', async () => {
  const work = new LongWork('nothing');
  const end = send(work);
  Request.last.upload.onload?.();
  await work.stop();
  Request.last.answer(200, '{"task":7}');
  await turn();
  expect(asked).toEqual(['/api/tasks/7/stop']);
  Events.last.tell({ event: 'progress', label: 'reading the grain', share: 0.8, best: null });
  expect(work.label).toBe('stopping, nothing is kept');
  Events.last.tell({ event: 'failed', problem: { message: 'the measuring was stopped', hint: null } });
  expect(await end).toBeNull();
  expect([work.problem, work.remarks[0]?.message]).toEqual([null, 'the measuring was stopped']);
});

test('what the shop refuses is told with its way on', async () => {
  const work = new LongWork('nothing');
  const end = send(work);
  Request.last.answer(422, '{"message":"the file is too large","hint":"send it smaller"}');
  expect(await end).toBeNull();
  expect(work.problem).toEqual({ message: 'the file is too large', hint: 'send it smaller' });
});
