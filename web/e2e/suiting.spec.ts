import { expect } from '@playwright/test';
import { fill, test, visit } from './shop';

test.use({ filled: true });

test('what a piece could become is shown with the parts on it, and leads to the pattern', async ({ page }) => {
  await visit(page, 'rack/1');
  const uses = page.getByRole('region', { name: 'What it could become' });
  await uses.getByRole('button', { name: 'Try every pattern on it' }).click();
  await expect(uses.getByText(/thick when done/)).toBeVisible();
  const first = uses.getByRole('listitem').first();
  await expect(first).toContainText(/% of its face/);
  await first.getByRole('link').click();
  await expect(page).toHaveURL(/#\/patterns\/\d+/);
});

test('the wood that suits a pattern is found on the rack, and told again when the thickness changes', async ({ page }) => {
  await visit(page, 'patterns/1');
  const wood = page.getByRole('region', { name: 'Wood for it' });
  await wood.getByRole('button', { name: 'Look through the rack' }).click();
  const pieces = wood.getByRole('listitem');
  await expect(pieces.first()).toContainText(/holds/);
  await fill(page, 'Thickness when done', '400 mm');
  await expect(pieces).toHaveCount(0);
  await wood.getByRole('button', { name: 'Look through the rack' }).click();
  await expect(wood.getByText('No piece on the rack suits it.')).toBeVisible();
  await expect(wood.getByText(/too thin/)).toBeVisible();
  await fill(page, 'Thickness when done', '18 mm');
  await wood.getByRole('button', { name: 'Look through the rack' }).click();
  await pieces.first().getByRole('link').click();
  await expect(page).toHaveURL(/#\/rack\/\d+/);
});
