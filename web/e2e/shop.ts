import { spawn, spawnSync, type ChildProcessByStdio } from 'node:child_process';
import { cpSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { expect, test as base, type Page } from '@playwright/test';

const here = dirname(fileURLToPath(import.meta.url));
const program = process.env.TREEN_PROGRAM ?? join(here, '../../target/debug/treen');
/** A picture of the demo: a slab with scale sheets beside it. */
export const slabPicture = join(here, '../../assets/demo/walnut-slab.jpg');

/** A picture of the demo: a leaf to be traced. */
export const leafPicture = join(here, '../../assets/demo/leaf.jpg');

/** A program that serves one folder. */
interface Served {
  url: string;
}

interface Own {
  /** Whether the shop begins with the demo in it. */
  filled: boolean;
  shop: Served;
}

const demos = new Map<number, string>();

/** The demo's folder is made once in a worker, and copied for each test. */
function demoFolder(worker: number): string {
  const made = demos.get(worker);
  if (made) return made;
  const folder = mkdtempSync(join(tmpdir(), 'treen-demo-'));
  const run = spawnSync(program, ['demo', '--no-serve', '--shop', folder], { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`the demo was not made: ${run.stderr}`);
  process.once('exit', () => rmSync(folder, { recursive: true, force: true }));
  demos.set(worker, folder);
  return folder;
}

/** Where the program says that its page is. */
function addressOf(server: ChildProcessByStdio<null, Readable, null>): Promise<string> {
  return new Promise((resolve, reject) => {
    createInterface({ input: server.stdout }).on('line', (line) => {
      const at = /http:\/\/\S+/.exec(line);
      if (at) resolve(at[0]);
    });
    server.once('exit', (code) => reject(new Error(`the program ended with ${code} before it served`)));
  });
}

export const test = base.extend<Own>({
  filled: [false, { option: true }],

  shop: [
    async ({ filled }, use, info) => {
      const folder = mkdtempSync(join(tmpdir(), 'treen-e2e-'));
      if (filled) cpSync(demoFolder(info.workerIndex), folder, { recursive: true });
      const server = spawn(program, ['serve', '--shop', folder, '--port', '0'], { stdio: ['ignore', 'pipe', 'inherit'] });
      const url = await addressOf(server);
      const page = await (await fetch(url)).text();
      if (page.includes('The page was not built')) throw new Error('the program has no page: run `cargo build -p treen` again');
      await use({ url });
      server.kill();
      rmSync(folder, { recursive: true, force: true });
    },
    { timeout: 300_000 },
  ],

  baseURL: async ({ shop }, use) => use(shop.url),
});

/** Waits until the page would let itself be left without a question: the shop has all that was changed. */
async function kept(page: Page): Promise<void> {
  await expect.poll(() => page.evaluate(() => dispatchEvent(new Event('beforeunload', { cancelable: true })))).toBe(true);
}

/** Opens the page anew at a place, and waits until it is there. */
export async function visit(page: Page, place: string): Promise<void> {
  await kept(page);
  await page.goto('about:blank');
  await page.goto(`/#/${place}`);
  await page.getByRole('navigation', { name: 'Places' }).waitFor();
  await page.getByRole('heading', { level: 1 }).waitFor();
}

/** Types into a field as a person would, and leaves it. */
export async function fill(page: Page, label: string, text: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(text);
  await field.press('Tab');
}

/** Reads the page anew, once all that was changed is kept. */
export async function reload(page: Page): Promise<void> {
  await kept(page);
  await page.reload();
}

/** Plans the demo's job anew, after something that it was made from was changed. */
export async function planAgain(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Plan again' }).click();
  const isOld = async () => (await (await page.request.get('/api/shop')).json()).jobs[0].plan.stale;
  await expect.poll(isOld, { timeout: 90_000 }).toBe(false);
  await expect(page.getByRole('button', { name: 'Planning…' })).toHaveCount(0);
}
