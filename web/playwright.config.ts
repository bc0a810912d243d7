import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { defineConfig } from '@playwright/test';

/** The journeys run against the real program: at `TREEN_URL`, or one started here on a fresh folder. */
const given = process.env.TREEN_URL;
const port = 7163;
// The configuration is read again by every worker; only the first may make the folder.
const folder = (process.env.TREEN_E2E_FOLDER ??= mkdtempSync(join(tmpdir(), 'treen-e2e-')));

export default defineConfig({
  testDir: 'e2e',
  workers: 1,
  timeout: 90_000,
  expect: { timeout: 15_000 },
  reporter: [['list']],
  outputDir: 'test-results',
  use: {
    baseURL: given ?? `http://127.0.0.1:${port}`,
    viewport: { width: 1280, height: 800 },
    launchOptions: { executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu'] },
    screenshot: 'only-on-failure',
  },
  webServer: given
    ? undefined
    : {
        command: `../target/debug/treen serve --folder ${folder} --port ${port}`,
        url: `http://127.0.0.1:${port}/api/shop`,
        timeout: 30_000,
      },
});
