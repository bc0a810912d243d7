import { expect } from '@playwright/test';
import { fill, reload, test, visit } from './shop';

test('what the shop has is kept as it is typed, and refused beside its field', async ({ page }) => {
  await visit(page, 'shop/machines');
  const blades = page.getByRole('group', { name: /^Blade/ });
  await expect(blades).toHaveCount(4);
  await page.getByRole('button', { name: 'Add a blade' }).click();
  await expect(blades).toHaveCount(5);
  const added = blades.last();
  await added.getByLabel('Width').fill('1/2');
  await added.getByLabel('Width').press('Tab');
  await expect(page.getByRole('group', { name: 'Blade 1/2 in' })).toBeVisible();
  await added.getByLabel('Kerf').fill('9 in');
  await added.getByLabel('Kerf').press('Tab');
  await expect(added.getByRole('alert')).toContainText('the blade', { ignoreCase: true });
  await expect(added.getByLabel('Kerf')).toHaveValue('9 in');

  await visit(page, 'shop/clamps');
  await fill(page, 'Depth of the cauls', '1 1/2');
  await reload(page);
  await expect(page.getByLabel('Depth of the cauls')).toHaveValue('1 1/2 in');
  await fill(page, 'Depth of the cauls', '');
  await reload(page);
  await expect(page.getByLabel('Depth of the cauls')).toHaveValue('');

  await visit(page, 'shop/people');
  await page.getByLabel('Monday from').fill('18:00');
  await expect(page.getByRole('alert')).toContainText('works from 18:00');
  await page.getByLabel('Monday to').fill('21:00');
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(page.getByText('35 hours a week')).toBeVisible();
  await page.getByRole('checkbox', { name: 'Saturday' }).check();
  await expect(page.getByText('43 hours a week')).toBeVisible();
  await page.getByLabel('Closed on').fill('2027-12-24');
  await page.getByRole('button', { name: 'Add the day' }).click();
  await expect(page.getByText('Fri, 24 Dec 2027')).toBeVisible();

  await visit(page, 'shop/name');
  await page.getByLabel('Lengths are read in').selectOption({ label: 'Millimetres' });
  await fill(page, 'Name of the shop', 'The old dairy');
  await reload(page);
  await expect(page.getByLabel('Name of the shop')).toHaveValue('The old dairy');
  await visit(page, 'shop/machines');
  await expect(page.getByLabel('Throat')).toHaveValue('343 mm');
});

test('a page that has not yet kept what was typed asks before it is left', async ({ page }) => {
  await visit(page, 'shop/clamps');
  let answer = (): void => undefined;
  const held = new Promise<void>((resolve) => (answer = resolve));
  await page.route('**/api/kit', async (route) => {
    await held;
    await route.continue();
  });
  // Not even the field is left.
  await page.getByLabel('Depth of the cauls').fill('1 1/2');
  const asked = page.waitForEvent('dialog');
  const leaving = page.close({ runBeforeUnload: true });
  const question = await asked;
  expect(question.type()).toBe('beforeunload');
  await question.dismiss();
  await leaving;
  answer();
  await reload(page);
  await expect(page.getByLabel('Depth of the cauls')).toHaveValue('1 1/2 in');
});
