import { expect } from '@playwright/test';
import { fill, leafPicture, test, visit } from './shop';

test('a traced leaf keeps a corner, becomes symmetric, and is sized by two points', async ({ page }) => {
  test.setTimeout(240_000);
  await visit(page, 'patterns/new');
  await page.getByRole('button', { name: 'Traced from a photo' }).click();
  await page.getByLabel('Choose a picture').setInputFiles(leafPicture);
  await fill(page, 'Name', 'Leaf');
  await fill(page, 'Length over all', '300 mm');
  await page.getByRole('button', { name: 'Trace it' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Leaf' })).toBeVisible({ timeout: 200_000 });

  const line = page.getByRole('region', { name: 'The traced line' });
  await expect(line.getByText('tightest bend')).toBeVisible();
  await line.getByRole('button', { name: 'Keep this corner' }).first().click();
  await expect(line.getByText('Corner 1', { exact: true })).toBeVisible();

  await line.getByLabel('Make it symmetric').check();
  await expect(line.getByText('halves were unlike by')).toBeVisible();

  const before = await line.getByText(/^No bend tighter than/).textContent();
  await line.getByLabel('Smoothness').focus();
  await page.keyboard.press('End');
  await expect(line.getByText(/^No bend tighter than/)).not.toHaveText(before ?? '');
  await expect(page.getByRole('button', { name: 'Undo: change Leaf' })).toBeEnabled();

  await page.getByRole('button', { name: 'Size by two points' }).click();
  const board = page.getByRole('application', { name: 'The drawing of Leaf' });
  await board.scrollIntoViewIfNeeded();
  const box = (await board.boundingBox())!;
  await page.mouse.click(box.x + 5, box.y + box.height / 2);
  await page.mouse.click(box.x + box.width - 5, box.y + box.height / 2);
  await fill(page, 'Distance', '600 mm');
  await expect(page.getByRole('button', { name: 'Size by two points' })).toBeVisible();
  const width = async () => {
    const { patterns } = await (await page.request.get('/api/shop')).json();
    const across = (patterns[0].outline.outer as [number, number][]).map(([x]) => x);
    return Math.max(...across) - Math.min(...across);
  };
  await expect.poll(width, { timeout: 60_000 }).toBeGreaterThan(560);
});
