import { expect } from '@playwright/test';
import { fill, slabPicture, test, visit } from './shop';

test.beforeEach(async ({ page }) => {
  await visit(page, 'rack/new');
  await fill(page, 'Name', 'Slab from the yard');
  await page.getByLabel('Species').selectOption('black_walnut');
  await fill(page, 'Thickness', '40 mm');
});

test('a photo with scale sheets becomes wood of its true size', async ({ page }) => {
  test.setTimeout(240_000);
  await page.getByLabel('Choose a picture').setInputFiles(slabPicture);
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Slab from the yard' })).toBeVisible({ timeout: 200_000 });
  await expect(page.getByText('lengths from the photo true to within')).toBeVisible();
  await expect(page.getByRole('application', { name: /Slab from the yard/ }).locator('image')).toHaveCount(1);
});

test('a broken picture is refused with words, and what was typed stays', async ({ page }) => {
  const broken = { name: 'slab.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('this is no picture') };
  await page.getByLabel('Choose a picture').setInputFiles(broken);
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByRole('alert')).toContainText(/picture/i);
  await expect(page.getByLabel('Name', { exact: true })).toHaveValue('Slab from the yard');
  await expect(page.getByLabel('Thickness', { exact: true })).toHaveValue('1 9/16 in');
  const shop = await (await page.request.get('/api/shop')).json();
  expect(shop.pieces).toEqual([]);
});
