import { expect, type Page } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

/** Goes on with Tab until the thing with this name is in hand. */
async function tabTo(page: Page, role: string, name: RegExp): Promise<void> {
  for (let press = 0; press < 250; press++) {
    await page.keyboard.press('Tab');
    const there = await page.evaluate(() => {
      const it = document.activeElement as HTMLElement;
      const labels = [...((it as HTMLInputElement).labels ?? [])].map((label) => label.innerText).join(' ');
      const role = it.getAttribute('role') ?? ({ A: 'link', BUTTON: 'button', INPUT: 'field', SELECT: 'field', TEXTAREA: 'field' } as Record<string, string>)[it.tagName] ?? '';
      return { role, name: [it.getAttribute('aria-label'), labels, it.innerText].filter(Boolean).join(' ').trim() };
    });
    if (there.role === role && name.test(there.name)) return;
  }
  throw new Error(`no ${role} ${name} within reach of the keys`);
}

test('a maker at the desk gets along with the keyboard alone', async ({ page }) => {
  await visit(page, 'rack');
  await tabTo(page, 'link', /Maple plank/);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1, name: 'Maple plank' })).toBeFocused();

  await tabTo(page, 'button', /Draw a zone/);
  await page.keyboard.press('Enter');
  await tabTo(page, 'application', /Maple plank/);
  for (const keys of ['Enter', 'ArrowRight ArrowRight ArrowRight', 'Enter', 'ArrowUp ArrowUp', 'Enter', 'c']) {
    for (const key of keys.split(' ')) await page.keyboard.press(key);
  }
  const zones = page.getByRole('region', { name: 'Zones' });
  await expect(zones.getByRole('button', { name: /^Knot/ })).toBeVisible();
  await page.keyboard.press('Control+z');
  await expect(zones.getByRole('listitem')).toHaveCount(0);

  await tabTo(page, 'link', /^Shop$/);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1, name: 'Shop' })).toBeFocused();
  await tabTo(page, 'link', /Machines/);
  await page.keyboard.press('Enter');
  await tabTo(page, 'field', /Throat/);
  await page.keyboard.type('35 cm');
  await page.keyboard.press('Tab');
  await expect(page.getByLabel('Throat')).toHaveValue('13 3/4 in');

  await tabTo(page, 'link', /^Jobs$/);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1, name: 'Jobs' })).toBeFocused();
  await tabTo(page, 'link', /Harvest supper/);
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { level: 1, name: 'Harvest supper' })).toBeFocused();
  await tabTo(page, 'button', /across|foot/i);
  await page.keyboard.press('Enter');
  await tabTo(page, 'button', /^turn the foot/i);
  await page.keyboard.press('Enter');
  await expect(page.getByText(/^Done: turn the foot/)).toBeVisible();
  await page.keyboard.press('Control+z');
  await expect(page.getByRole('button', { name: /^Redo:/ })).toBeEnabled();
  await tabTo(page, 'link', /To the bench/);
  await page.keyboard.press('Enter');
  await tabTo(page, 'field', /./);
  await page.keyboard.press('Space');
  await expect(page.getByRole('checkbox').first()).toBeChecked();
});
