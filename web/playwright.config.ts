import { defineConfig } from '@playwright/test';

/** Whole journeys against the real program; every test starts its own on a fresh folder (`e2e/shop.ts`). */
export default defineConfig({
  testDir: 'e2e',
  workers: 1,
  // A slow machine takes longer, and that is no fault.
  timeout: 600_000,
  expect: { timeout: 60_000 },
  reporter: [['list']],
  outputDir: 'test-results',
  use: {
    actionTimeout: 60_000,
    viewport: { width: 1280, height: 800 },
    launchOptions: { executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu'] },
    screenshot: 'only-on-failure',
  },
});
