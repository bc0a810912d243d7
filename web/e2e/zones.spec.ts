import { expect, type Locator } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

/** Sweeps a ring around the middle of a board, so many pixels wide. */
async function sweep(board: Locator, radius: number): Promise<void> {
  const box = (await board.boundingBox())!;
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const mouse = board.page().mouse;
  await mouse.move(x + radius, y);
  await mouse.down();
  for (let turn = 1; turn <= 24; turn++) {
    const angle = (turn / 24) * 2 * Math.PI;
    await mouse.move(x + radius * Math.cos(angle), y + radius * Math.sin(angle));
  }
  await mouse.up();
}

test('a zone drawn on the wood is kept, taken back and done again', async ({ page }) => {
  await visit(page, 'rack/3');
  const zones = page.getByRole('region', { name: 'Zones' });
  await expect(zones.getByRole('listitem')).toHaveCount(0);

  await page.getByRole('button', { name: 'Draw a zone' }).click();
  await page.getByRole('button', { name: 'Bark' }).click();
  await sweep(page.getByRole('application', { name: /Maple plank/ }), 40);
  await expect(zones.getByRole('button', { name: /^Bark/ })).toBeVisible();

  await page.getByRole('button', { name: /^Undo:/ }).click();
  await expect(zones.getByRole('listitem')).toHaveCount(0);
  await page.getByRole('button', { name: /^Redo:/ }).click();
  await expect(zones.getByRole('button', { name: /^Bark/ })).toBeVisible();

  await page.reload();
  await expect(zones.getByRole('button', { name: /^Bark/ })).toBeVisible();
  await page.getByRole('button', { name: /^Undo:/ }).click();
  await expect(zones.getByRole('listitem')).toHaveCount(0);
});
