import AxeBuilder from '@axe-core/playwright';
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

test('the sending tells how far it has come, and can be stopped there and while measuring', async ({ page }) => {
  test.setTimeout(240_000);
  const slow = { offline: false, latency: 0, downloadThroughput: -1, uploadThroughput: 60_000 };
  const wire = await page.context().newCDPSession(page);
  const under = page.getByRole('group', { name: 'Work under way' });
  const pieces = async () => (await (await page.request.get('/api/shop')).json()).pieces;
  await page.getByLabel('Choose a picture').setInputFiles(slabPicture);

  await wire.send('Network.emulateNetworkConditions', slow);
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(under).toContainText('Sending the picture');
  await expect.poll(async () => Number(await under.getByRole('progressbar').getAttribute('value'))).toBeGreaterThan(3);
  expect((await new AxeBuilder({ page }).include('main').analyze()).violations).toEqual([]);
  await under.getByRole('button', { name: 'Stop and keep nothing' }).click();
  await expect(page.getByText('The sending was stopped')).toBeVisible();

  await wire.send('Network.emulateNetworkConditions', { ...slow, uploadThroughput: -1 });
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(under).toContainText('Looking for the scale sheets');
  await under.getByRole('button', { name: 'Stop and keep nothing' }).click();
  await expect(page.getByText('The measuring was stopped')).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(page.getByLabel('Name', { exact: true })).toHaveValue('Slab from the yard');
  expect(await pieces()).toEqual([]);
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
