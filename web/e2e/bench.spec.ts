import { expect } from '@playwright/test';
import { reload, test, visit } from './shop';

test.use({ filled: true, viewport: { width: 390, height: 844 }, hasTouch: true });

test('steps are checked off with a thumb, and kept', async ({ page }) => {
  await visit(page, 'bench');
  await page.getByRole('link', { name: /Harvest supper/ }).tap();
  const first = page.getByRole('checkbox').first();
  await expect(first).not.toBeChecked();
  await expect(page.getByRole('region', { name: 'Take care' })).toBeVisible();

  const row = page.getByRole('listitem').filter({ has: first });
  const label = row.locator('label').first();
  const size = (await label.boundingBox())!;
  expect(Math.min(size.width, size.height)).toBeGreaterThanOrEqual(44);
  await label.tap();
  await expect(first).toBeChecked();
  await row.getByRole('button', { name: 'Note what happened' }).tap();
  await row.getByLabel('What really happened').fill('one joint needed a second pass');
  await row.getByLabel('What really happened').blur();
  await expect(page.getByText('1 of', { exact: false }).first()).toBeVisible();

  await reload(page);
  await expect(first).toBeChecked();
  await expect(row.getByLabel('What really happened')).toHaveValue('one joint needed a second pass');

  const title = await page.getByRole('heading', { level: 1 }).textContent();
  await page.getByRole('link', { name: /^Next:/ }).tap();
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText(title!);
  await page.getByRole('link', { name: /^Before:/ }).tap();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(title!);
  await page.getByRole('link', { name: /steps done/ }).tap();
  await expect(page.getByRole('link', { name: title! })).toBeVisible();
});

test('a timer goes on over a reload, and tells when it is up', async ({ page }) => {
  await page.clock.install();
  await visit(page, 'bench/1/all');
  await page.getByRole('link', { name: /Glue (group|up)/ }).first().tap();
  const start = page.getByRole('button', { name: /^Start/ }).first();
  const minutes = Number(/(\d+) min/.exec((await start.textContent())!)![1]);
  await start.tap();
  await expect(page.getByRole('timer')).toHaveText(`${minutes}:00`);

  await page.clock.fastForward('10:00');
  await reload(page);
  await page.clock.runFor(1000);
  await expect(page.getByRole('timer')).toHaveText(new RegExp(`^${minutes - 11}:5\\d$`));

  await page.clock.fastForward(minutes * 60_000);
  await expect(page.getByText('Time is up').first()).toBeVisible();
  await page.getByRole('button', { name: 'All right' }).tap();
  await expect(start).toBeVisible();
});
