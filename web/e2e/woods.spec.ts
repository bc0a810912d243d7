import { expect } from '@playwright/test';
import { fill, test, visit } from './shop';

test('a wood is looked up with its sources, and one of the shop’s own can be chosen', async ({ page }) => {
  await visit(page, 'shop/woods');
  await page.getByLabel('Look for a wood').fill('walnut');
  await page.getByRole('link', { name: 'Black walnut' }).click();
  const sheet = page.getByRole('region', { name: 'black walnut' });
  await expect(sheet).toContainText('table 5-3b (second hand)');
  await expect(sheet).toContainText('Not known');
  await expect(sheet.getByRole('region', { name: 'Will it move' })).toContainText('A heated kitchen');

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
