import { expect } from '@playwright/test';
import { fill, planAgain, reload, test, visit } from './shop';

test.use({ filled: true });

test('what parts ask of their place is kept, planned by, and taken back', async ({ page }) => {
  await visit(page, 'jobs/1');
  await page.getByRole('button', { name: 'Wanted' }).click();
  const first = page.getByRole('region', { name: 'What is wanted' }).getByRole('listitem').first();
  await first.getByRole('checkbox', { name: 'May be made mirrored' }).check();
  const laying = page.getByRole('region', { name: 'How the parts are laid' });
  await laying.getByRole('button', { name: 'Add a set from one piece' }).click();
  const set = laying.getByRole('listitem').first();
  const wants = set.getByRole('group', { name: 'Parts that come from one piece' }).getByRole('checkbox');
  await wants.nth(0).check();
  await wants.nth(1).check();
  await set.getByRole('checkbox', { name: /They have to match/ }).check();
  await laying.getByLabel('The wood is saved for').selectOption({ index: 1 });
  await reload(page);
  await page.getByRole('button', { name: 'Wanted' }).click();
  await expect(first.getByRole('checkbox', { name: 'May be made mirrored' })).toBeChecked();
  await expect(wants.nth(1)).toBeChecked();
  await expect(laying.getByLabel('The wood is saved for')).toHaveValue('leftover');
  await planAgain(page);
  await laying.getByRole('button', { name: 'Take the set apart' }).click();
  await expect(set).toHaveCount(0);
});

test('each kind of fault has its own way that is kept clear', async ({ page }) => {
  await visit(page, 'shop/allowances');
  await fill(page, 'Clear of a check', '1/2 in');
  await reload(page);
  await expect(page.getByLabel('Clear of a check')).toHaveValue('1/2 in');
  await expect(page.getByLabel('Clear of a knot')).not.toHaveValue('1/2 in');
});

test('a live edge is marked on a pattern', async ({ page }) => {
  await visit(page, 'patterns/2');
  await page.getByRole('button', { name: 'Live edge' }).click();
  const features = page.getByRole('region', { name: 'Features' });
  await expect(features.getByRole('button', { name: 'Live edge', expanded: true })).toBeVisible();
  await expect(features.getByText('reaches out')).toHaveCount(0);
});

test('a part is told to show a figure of the wood, and let go of it', async ({ page }) => {
  await visit(page, 'jobs/1');
  await page.getByText('Drag a part to pin it').waitFor();
  await page.getByRole('application').first().focus();
  await page.keyboard.press('.');
  await page.getByRole('button', { name: 'Show this figure' }).click();
  await page.getByRole('button', { name: 'Wanted' }).click();
  const laying = page.getByRole('region', { name: 'How the parts are laid' });
  await expect(laying.getByText(/shows a figure of/)).toBeVisible();
  const { jobs } = await (await page.request.get('/api/shop')).json();
  expect(jobs[0].job.choices.shows[0].area.length).toBeGreaterThan(8);
  await page.getByRole('button', { name: 'It may show anything' }).click();
  await expect(laying.getByText(/shows a figure of/)).toHaveCount(0);
});
