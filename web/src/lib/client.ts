import { Trouble } from '@/lib/problem';
import type { Problem } from '@/lib/wire/Problem';

type Method = 'GET' | 'POST' | 'PUT' | 'DELETE';

const unreachable: Problem = {
  message: 'the shop does not answer',
  hint: 'check that the program is running and this device is on the same network',
};

/**
 * Asks the shop; throws a `Trouble` with the Problem that it answers. A change made upon a
 * version of the shop that was `seen` is refused if somebody has changed the same thing since.
 */
export async function ask<T>(method: Method, path: string, body?: unknown, seen?: number): Promise<T> {
  const upon: Record<string, string> = seen === undefined ? {} : { 'x-seen-version': String(seen) };
  const headers = { 'content-type': 'application/json', ...upon };
  const json = body === undefined ? {} : { body: JSON.stringify(body), headers };
  return answer<T>(await send(path, { method, ...json }));
}

/** Sends a file's bytes as they are. */
export async function sendFile<T>(path: string, file: Blob): Promise<T> {
  const type = file.type || 'application/octet-stream';
  return answer<T>(await send(path, { method: 'POST', body: file, headers: { 'content-type': type } }));
}

/** A path with its questions written behind it. */
export function withQuery(path: string, query: Record<string, unknown>): string {
  const parts = Object.entries(query).map(([key, value]) => {
    const text = typeof value === 'string' ? value : JSON.stringify(value);
    return `${key}=${encodeURIComponent(text)}`;
  });
  return `${path}?${parts.join('&')}`;
}

async function send(path: string, how: RequestInit): Promise<Response> {
  try {
    return await fetch(path, how);
  } catch {
    throw new Trouble(unreachable);
  }
}

async function answer<T>(response: Response): Promise<T> {
  const text = await response.text();
  if (!response.ok) throw new Trouble(problemIn(text, response.status));
  return (text ? JSON.parse(text) : undefined) as T;
}

function problemIn(text: string, status: number): Problem {
  try {
    const read = JSON.parse(text) as Partial<Problem>;
    if (typeof read.message === 'string') return { message: read.message, hint: read.hint ?? null };
  } catch {
    // Not the shop's own answer; say what is known.
  }
  return { message: `the shop answered with status ${status}`, hint: 'try again; nothing was changed' };
}
