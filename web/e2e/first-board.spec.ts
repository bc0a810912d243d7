import { expect } from '@playwright/test';
import { fill, test, visit } from './shop';

test('from a measured plank to the packet on paper', async ({ page }) => {
  await visit(page, 'rack');
  await page.getByRole('link', { name: 'Add wood' }).click();
  await page.getByRole('button', { name: 'By its measures' }).click();
  await fill(page, 'Name', 'Cherry plank');
  await page.getByLabel('Species').selectOption('black_cherry');
  await fill(page, 'Thickness', '1 1/4');
  await fill(page, 'Length', '4 ft');
  await fill(page, 'Width', '22 cm');
  await page.getByRole('button', { name: 'Put it on the rack' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Cherry plank' })).toBeVisible();
  await expect(page.getByText('48 × 8 11/16 × 1 1/4 in')).toBeVisible();

  await page.getByRole('link', { name: 'Patterns' }).click();
  await page.getByRole('link', { name: 'New pattern' }).click();
  await fill(page, 'Name', 'Cheese board');
  await expect(page.getByRole('application', { name: 'The shape so far' })).toBeVisible();
  await page.getByRole('button', { name: 'Keep this pattern' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Cheese board' })).toBeVisible();
  await page.getByRole('group', { name: 'Mark a feature' }).getByRole('button', { name: 'Stem or handle' }).click();
  await fill(page, 'Load at its tip, lbf', '15');
  await expect(page.getByRole('button', { name: /^Undo:/ })).toBeEnabled();

  await page.getByRole('link', { name: 'Jobs' }).click();
  await page.getByRole('link', { name: 'New job' }).first().click();
  await fill(page, 'Name', 'For the neighbours');
  await page.getByRole('button', { name: 'Start this job' }).click();
  await page.getByRole('group', { name: 'Add to the job' }).getByRole('button', { name: 'Cheese board' }).click();
  await fill(page, 'How many', '2');
  const plank = page.getByRole('checkbox', { name: /Cherry plank/ });
  if (!(await plank.isChecked())) await plank.check();
  await page.getByRole('button', { name: 'Plan this job' }).click();
  await expect(page.getByRole('button', { name: 'Plan again' })).toBeVisible({ timeout: 90_000 });
  await expect(page.getByText('Ready on')).toBeVisible();
  await expect(page.getByRole('region', { name: 'Findings' })).toBeVisible();

  const packet = page.getByRole('link', { name: 'Packet' });
  const answer = await page.request.get((await packet.getAttribute('href'))!);
  expect(answer.headers()['content-type']).toBe('application/pdf');
  const paper = await answer.body();
  expect(paper.subarray(0, 5).toString()).toBe('%PDF-');
  expect(paper.length).toBeGreaterThan(20_000);
});
