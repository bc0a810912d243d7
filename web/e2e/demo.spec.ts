import { expect, type Page } from '@playwright/test';
import { test, visit } from './shop';

test('the demo shop is one touch away, and its findings can be mended', async ({ page }) => {
  test.setTimeout(300_000);
  await visit(page, 'rack');
  await page.getByRole('button', { name: 'Open the demo shop' }).click();
  await expect(page.getByRole('progressbar', { name: 'How much is done' })).toBeVisible();
  await expect(page.getByRole('link', { name: /Walnut slab/ })).toBeVisible({ timeout: 240_000 });

  await visit(page, 'jobs');
  await page.getByRole('link', { name: /Harvest supper/ }).click();
  const findings = page.getByRole('region', { name: 'Findings' });
  const foot = findings.getByRole('button', { name: /foot/i }).first();
  const lit = page.getByRole('application').locator('.lit, .ring');
  // The wood is there before the job is planned.
  await expect(foot).toBeVisible({ timeout: 240_000 });
  await expect(lit).toHaveCount(0);
  await foot.click();
  await expect(foot).toHaveAttribute('aria-expanded', 'true');
  await expect(lit.first()).toBeVisible();

  const before = await footTurn(page);
  await findings.getByRole('button', { name: /turn the foot/i }).first().click();
  await expect(findings.getByText(/^Done: turn the foot/)).toBeVisible();
  await expect.poll(() => footTurn(page)).not.toBe(before);
  await expect(page.getByText('The change is made', { exact: false })).toBeVisible();

  await page.getByRole('button', { name: /^Undo:/ }).click();
  await expect.poll(() => footTurn(page)).toBe(before);
});

/** Every foot's direction, as the shop keeps it. */
async function footTurn(page: Page): Promise<string> {
  const shop = await (await page.request.get('/api/shop')).json();
  const kinds = shop.patterns.flatMap((it: { features: { kind: { is: string; along?: number } }[] }) => it.features.map((one) => one.kind));
  return kinds.filter((it: { is: string }) => it.is === 'foot_seat').map((it: { along: number }) => it.along).join(' ');
}
