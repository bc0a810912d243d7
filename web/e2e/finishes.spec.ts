import { expect } from '@playwright/test';
import { fill, test, visit } from './shop';

test('a finish is seen day by day, and one of the shop’s own beside the tables', async ({ page }) => {
  await visit(page, 'shop/finishes');
  await page.getByRole('link', { name: 'Wiping varnish, then wax' }).click();
  const days = page.getByRole('region', { name: 'Days of the finish' });
  await expect(days.getByRole('listitem').first()).toContainText('Day 1');
  await expect(days.getByRole('listitem').last()).toContainText('Day 9 food may touch it');
  await expect(page.getByRole('region', { name: 'wiping varnish', exact: true })).toContainText('usual ranges of the trade (from memory)');

  await fill(page, 'Name', 'Bench oil');
  await page.getByRole('button', { name: 'Keep this finish' }).click();
  await expect(page.getByRole('alert')).toContainText('from coat to coat is missing', { ignoreCase: true });
  await fill(page, 'From coat to coat, h', '24');
  await fill(page, 'Until handling, days', '2');
  await fill(page, 'Until food, days', '5');
  await fill(page, 'It covers, ft²/qt', '120');
  await fill(page, 'Coats', '2');
  await page.getByRole('button', { name: 'Keep this finish' }).click();
  await expect(page.getByRole('region', { name: 'Bench oil', exact: true })).toContainText('the shop’s own');
  await expect(days.getByRole('listitem').last()).toContainText('Day 7 food may touch it');
  await page.getByRole('button', { name: 'Take this finish out' }).click();
  await expect(page.getByRole('link', { name: 'Bench oil' })).toHaveCount(0);
});

test('a glue of the shop’s own stands in the list with its figures', async ({ page }) => {
  await visit(page, 'shop/glues/epoxy');
  await expect(page.getByRole('region', { name: 'epoxy', exact: true })).toContainText('Epoxy makes people allergic');
  const told = { Name: 'Bench glue', 'First bead to last joint closed, min': '6', 'First bead to full pressure, min': '12', 'In clamps, min': '45' };
  for (const [label, text] of Object.entries(told)) await fill(page, label, text);
  const rest = { 'Until it may be planed, h': '24', 'Until full strength, h': '24', 'Pressure, as for cherry, psi': '150', 'Pressure, as for hard maple, psi': '200' };
  for (const [label, text] of Object.entries(rest)) await fill(page, label, text);
  await fill(page, 'No colder than, °F', '55');
  await fill(page, 'Spread on one side, g/m²', '200');
  await page.getByRole('button', { name: 'Keep this glue' }).click();
  const sheet = page.getByRole('region', { name: 'Bench glue', exact: true });
  await expect(sheet).toContainText('the shop’s own');
  await expect(sheet).toContainText('200 psi');
});
