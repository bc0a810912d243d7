import { expect } from '@playwright/test';
import { fill, leafPicture, slabPicture, test, visit } from './shop';

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

test('whoever goes elsewhere while a shape is traced is told with a link, and can bring it to a length', async ({ page }) => {
  test.setTimeout(240_000);
  await visit(page, 'patterns/new');
  await page.getByRole('button', { name: 'Traced from a photo' }).click();
  await page.getByLabel('Choose a picture').setInputFiles(leafPicture);
  await fill(page, 'Name', 'Leaf');
  await fill(page, 'Length over all', '300 mm');
  await page.getByRole('button', { name: 'Trace it' }).click();
  await page.getByRole('group', { name: 'Work under way' }).waitFor();
  await page.getByRole('link', { name: 'Jobs' }).click();
  await expect(page.getByText('Leaf has been brought in')).toBeVisible({ timeout: 200_000 });
  await expect(page.getByRole('heading', { level: 1, name: 'Jobs' })).toBeVisible();
  await page.getByRole('link', { name: 'Look at it' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Leaf' })).toBeVisible();
  await expect(page.getByText('Leaf has been brought in')).toHaveCount(0);

  await fill(page, 'Length over all', '10 in');
  await expect(page.getByLabel('Length over all')).toHaveValue('10 in');
  await page.getByRole('button', { name: /^Food area/ }).click();
  await expect(page.getByRole('button', { name: 'Undo: change Leaf' })).toBeEnabled();
  await expect(page.getByText(/^Reaches out of the shape/)).toHaveCount(0);
});
