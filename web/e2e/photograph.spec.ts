import AxeBuilder from '@axe-core/playwright';
import { expect } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

test('the photograph is seen as the camera took it, and Escape goes back to the piece', async ({ page }) => {
  await visit(page, 'rack/2');
  const see = page.getByRole('button', { name: 'See the photograph' });
  await see.focus();
  await page.keyboard.press('Enter');
  const layer = page.getByRole('dialog', { name: 'The photograph of Cherry offcut' });
  const picture = layer.getByRole('img', { name: /as the camera took it/ });
  await expect.poll(() => picture.evaluate((it: HTMLImageElement) => it.naturalWidth)).toBeGreaterThan(1000);
  const whole = (await picture.boundingBox())!;
  expect(whole.width).toBeLessThanOrEqual(1280);
  const { violations } = await new AxeBuilder({ page }).include('dialog').analyze();
  expect(violations.map((it) => it.id)).toEqual([]);
  await layer.getByRole('button', { name: 'Full size' }).click();
  expect((await picture.boundingBox())!.width).toBe(await picture.evaluate((it: HTMLImageElement) => it.naturalWidth));
  await page.keyboard.press('Escape');
  await expect(layer).toHaveCount(0);
  await expect(see).toBeFocused();
});
