import { expect } from '@playwright/test';
import { fill, test, visit } from './shop';

test.use({ filled: true });

test('two devices see each other’s changes', async ({ page: desk, browser, baseURL }) => {
  const phone = await (await browser.newContext({ baseURL, viewport: { width: 390, height: 844 } })).newPage();
  await visit(desk, 'rack');
  await visit(phone, 'rack/3');
  await fill(phone, 'Name', 'Maple from the barn');
  await expect(desk.getByRole('link', { name: /Maple from the barn/ })).toBeVisible();

  await visit(desk, 'bench/1');
  await visit(phone, 'bench/1');
  await phone.locator('label', { has: phone.getByRole('checkbox') }).first().click();
  await expect(desk.getByRole('checkbox').first()).toBeChecked();
  await desk.locator('label', { has: desk.getByRole('checkbox') }).first().click();
  await expect(phone.getByRole('checkbox').first()).not.toBeChecked();
  await phone.context().close();
});
