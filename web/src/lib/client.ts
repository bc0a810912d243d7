import { Trouble } from '@/lib/problem';
import type { Problem } from '@/lib/wire/Problem';

type Method = 'GET' | 'POST' | 'PUT' | 'DELETE';

const unreachable: Problem = {
  message: 'the shop does not answer',
  hint: 'check that the program is running and this device is on the same network',
};

const notSent: Problem = { message: 'the sending was stopped', hint: 'nothing was kept; send the picture again when you like' };

/**
 * Asks the shop; throws a `Trouble` with the Problem that it answers. A change made upon a
 * version of the shop that was `seen` is refused if somebody has changed the same thing since.
 */
export async function ask<T>(method: Method, path: string, body?: unknown, seen?: number): Promise<T> {
  const upon: Record<string, string> = seen === undefined ? {} : { 'x-seen-version': String(seen) };
  const headers = { 'content-type': 'application/json', ...upon };
  const json = body === undefined ? {} : { body: JSON.stringify(body), headers };
  const response = await send(path, { method, ...json });
  return answer<T>(await response.text(), response.status);
}

/** Follows a file on its way to the shop. */
export interface Sending {
  /** Hears which share of it is over there, up to 1. */
  sent: (share: number) => void;
  /** Ends the sending early. */
  signal: AbortSignal;
}

/** Sends a file's bytes as they are; `fetch` does not tell how far a file has come, so this asks the older way. */
export function sendFile<T>(path: string, file: Blob, { sent, signal }: Partial<Sending> = {}): Promise<T> {
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', path);
    request.setRequestHeader('content-type', file.type || 'application/octet-stream');
    request.upload.onprogress = ({ loaded, total }) => sent?.(total > 0 ? loaded / total : 0);
    request.upload.onload = () => sent?.(1);
    request.onload = () => {
      try {
        resolve(answer<T>(request.responseText, request.status));
      } catch (thrown) {
        reject(thrown);
      }
    };
    request.onerror = () => reject(new Trouble(unreachable));
    request.onabort = () => reject(new Trouble(notSent));
    signal?.addEventListener('abort', () => request.abort());
    request.send(file);
  });
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

function answer<T>(text: string, status: number): T {
  if (status < 200 || status > 299) throw new Trouble(problemIn(text, status));
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
