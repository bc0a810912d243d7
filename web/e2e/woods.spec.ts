import { expect } from '@playwright/test';
import { fill, test, visit } from './shop';

test('a wood is looked up with its sources, and one of the shop’s own can be chosen', async ({ page }) => {
  await visit(page, 'shop/woods');
  await page.getByLabel('Look for a wood').fill('walnut');
  await page.getByRole('link', { name: 'Black walnut' }).click();
  const sheet = page.getByRole('region', { name: 'black walnut' });
  await expect(sheet).toContainText('table 5-3b (second hand)');
  await expect(sheet).toContainText('Not known');
  await expect(sheet.getByRole('region', { name: 'Room by room' })).toContainText('A heated kitchen');

  await fill(page, 'Name', 'Plum');
  await fill(page, 'Density, lb/ft³', '49');
  await page.getByRole('button', { name: 'Keep this wood' }).click();
  const plum = page.getByRole('region', { name: 'Plum' });
  await expect(plum).toContainText('the shop’s own');
  await expect(plum).toContainText('785 kg/m³');
  await expect(plum).toContainText('assumed');

  await visit(page, 'rack/new');
  await page.getByLabel('Species').selectOption({ label: 'Plum' });
  await visit(page, 'shop/woods/plum');
  await page.getByRole('button', { name: 'Take this wood out' }).click();
  await expect(page.getByRole('link', { name: 'Plum' })).toHaveCount(0);
});

test('a board’s end is watched over the year as its width, rings and room are tried', async ({ page }) => {
  await visit(page, 'shop/woods/black_walnut');
  const moves = page.getByRole('region', { name: 'Will it move' });
  await moves.getByLabel('Width as made').fill('14');
  await expect(moves.getByRole('status')).toContainText('made 14 in wide');
  await expect(moves.getByRole('status')).toContainText('0.146 in wider in summer');
  await expect(moves.getByText(/drawn \d+ times as large/)).toBeVisible();

  await moves.getByRole('button', { name: 'Quarter-sawn' }).click();
  await expect(moves.getByRole('status')).toContainText('0.101 in wider in summer');
  await moves.getByLabel('Rings against the face').press('Home');
  await expect(moves.getByLabel('Rings against the face')).toHaveAttribute('aria-valuetext', '0°, flat-sawn');
  await moves.getByLabel('It will live in').selectOption({ label: 'A kitchen by a damp coast' });
  const summer = moves.getByRole('region', { name: 'Summer' });
  await summer.locator('summary').click();
  await expect(summer).toContainText('table 13-5');
});
