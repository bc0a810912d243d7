import AxeBuilder from '@axe-core/playwright';
import { expect } from '@playwright/test';
import { seenOnSlab, slabLength, slabWithoutSheets } from './pictures';
import { fill, leafPicture, slabPicture, test, visit } from './shop';

/** Both ends of a length, on the slab. */
type Ends = [[number, number], [number, number]];

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

test('a broken picture is refused with words, and what was typed stays for the next one', async ({ page }) => {
  const broken = { name: 'slab.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('this is no picture') };
  await page.getByLabel('Choose a picture').setInputFiles(broken);
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByRole('alert')).toContainText(/picture/i);
  await expect(page.getByLabel('Name', { exact: true })).toHaveValue('Slab from the yard');
  await expect(page.getByLabel('Thickness', { exact: true })).toHaveValue('1 9/16 in');
  const shop = await (await page.request.get('/api/shop')).json();
  expect(shop.pieces).toEqual([]);

  await page.getByLabel('Choose a picture').setInputFiles(slabPicture);
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Slab from the yard' })).toBeVisible({ timeout: 60_000 });
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
  // Which stage is seen first hangs on how quick the machine is.
  await expect(under).toContainText(/Reading the|Looking for|Telling the wood/);
  await under.getByRole('button', { name: 'Stop and keep nothing' }).click();
  await expect(page.getByText('The measuring was stopped')).toBeVisible({ timeout: 60_000 });
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(page.getByLabel('Name', { exact: true })).toHaveValue('Slab from the yard');
  expect(await pieces()).toEqual([]);
});

test('where no sheet is seen, two lengths that were measured tell the size', async ({ page }) => {
  test.setTimeout(240_000);
  const picture = { name: 'slab.jpg', mimeType: 'image/jpeg', buffer: await slabWithoutSheets(page) };
  await page.getByLabel('Choose a picture').setInputFiles(picture);
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByRole('alert')).toContainText('No scale sheet can be read', { timeout: 60_000 });
  await page.getByRole('button', { name: 'Mark two lengths that I measured instead' }).click();
  await expect(page.getByRole('button', { name: 'Length A, first end, not on the wood yet' })).toBeFocused();

  // The page turns the picture as its file says, and the shop reads the marks in the same way.
  const photograph = page.getByRole('application', { name: 'The photograph, with the ends of both lengths' });
  const { x, y, width, height } = (await photograph.locator('img').boundingBox())!;
  expect(width / height).toBeCloseTo(4 / 3, 2);
  const onScreen = (place: [number, number]) => seenOnSlab(place).map((it) => (it * width) / 3000) as [number, number];
  const [a, b] = [[[-500, 10], [490, 20]], [[0, -120], [20, 130]]] as [Ends, Ends];
  for (const place of [a[0], a[1], b[0]]) {
    const [left, top] = onScreen(place);
    await page.mouse.click(x + left, y + top);
  }
  const last = page.getByRole('button', { name: /^Length B, second end/ });
  const waits = (await last.boundingBox())!;
  const [left, top] = onScreen(b[1]);
  expect(Math.min(waits.width, waits.height)).toBeGreaterThanOrEqual(44);
  await page.mouse.move(waits.x + waits.width / 2, waits.y + waits.height / 2);
  await page.mouse.down();
  await page.mouse.move(x + left, y + top);
  await expect(photograph.locator('img')).toHaveCount(2);
  await page.mouse.up();
  await expect(photograph.locator('img')).toHaveCount(1);
  await last.press('ArrowRight');
  await expect(page.getByText(/^Length B, second end: 5\d\.\d% from the left/)).toHaveCount(1);
  await last.press('ArrowLeft');
  await expect(page.getByText('4 of 4 ends are on the wood')).toBeVisible();

  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByText('Length A is missing')).toBeVisible();
  expect((await new AxeBuilder({ page }).include('main').analyze()).violations).toEqual([]);
  await fill(page, 'Length A, along the wood', '990 mm');
  await fill(page, 'Length B, across the wood', '250.8 mm');
  await page.getByRole('button', { name: 'Bring it in' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Slab from the yard' })).toBeVisible({ timeout: 200_000 });
  const [piece] = (await (await page.request.get('/api/shop')).json()).pieces;
  const along = piece.face.outline.outer.map((it: [number, number]) => it[0]);
  const off = (Math.max(...along) - Math.min(...along)) / slabLength - 1;
  // The picture states no lens, so that two lengths leave its tilt in doubt; that is said.
  expect(piece.face.doubt).toBeLessThan(0.1);
  expect(Math.abs(off)).toBeLessThan(piece.face.doubt);
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
