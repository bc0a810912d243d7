import { expect, type Locator } from '@playwright/test';
import { reload, test, visit } from './shop';

test.use({ filled: true });

/** Sweeps a ring around the middle of a board, so many pixels wide. */
async function sweep(board: Locator, radius: number, beside = 0): Promise<void> {
  const box = (await board.boundingBox())!;
  const [x, y] = [box.x + box.width / 2 + beside, box.y + box.height / 2];
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

  await reload(page);
  await expect(zones.getByRole('button', { name: /^Bark/ })).toBeVisible();
  await page.getByRole('button', { name: /^Undo:/ }).click();
  await expect(zones.getByRole('listitem')).toHaveCount(0);
});

test('zones are drawn one after the other until Escape ends it', async ({ page }) => {
  await visit(page, 'rack/3');
  const zones = page.getByRole('region', { name: 'Zones' });
  const tool = page.getByRole('button', { name: 'Draw a zone' });
  const board = page.getByRole('application', { name: /Maple plank/ });
  await tool.click();
  await sweep(board, 30);
  await expect(zones.getByRole('listitem')).toHaveCount(1);
  await sweep(board, 30, 200);
  await expect(zones.getByRole('listitem')).toHaveCount(2);
  await expect(tool).toHaveAttribute('aria-pressed', 'true');
  await page.keyboard.press('Escape');
  await expect(tool).toHaveAttribute('aria-pressed', 'false');
});
