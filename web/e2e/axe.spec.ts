import AxeBuilder from '@axe-core/playwright';
import { expect } from '@playwright/test';
import { test, visit } from './shop';

const places = [
  'rack', 'rack/new', 'rack/1', 'patterns', 'patterns/new', 'patterns/1', 'jobs', 'jobs/new', 'jobs/1',
  'bench', 'bench/1', 'bench/1/all', 'shop/name', 'shop/machines', 'shop/clamps', 'shop/people', 'shop/wood', 'shop/prices',
];
const phone = { width: 390, height: 844 };
const desk = { width: 1280, height: 800 };

for (const filled of [true, false]) {
  test.describe(filled ? 'with the demo in it' : 'while it is empty', () => {
    test.use({ filled });

    for (const scheme of ['light', 'dark'] as const) {
      test(`every place can be read by all, ${scheme}`, async ({ page }) => {
        await page.emulateMedia({ colorScheme: scheme, reducedMotion: 'reduce' });
        const faults: string[] = [];
        for (const viewport of [desk, phone]) {
          await page.setViewportSize(viewport);
          for (const place of filled ? places : places.filter((it) => !it.includes('/1'))) {
            await visit(page, place);
            await expect(page.getByRole('status').filter({ hasText: '…' })).toHaveCount(0);
            const found = await new AxeBuilder({ page }).withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']).analyze();
            for (const { id, nodes } of found.violations) {
              faults.push(`${place} at ${viewport.width}: ${id}: ${nodes.map((it) => it.target.join(' ')).join(', ')}`);
            }
            const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
            if (wide > 0) faults.push(`${place} at ${viewport.width}: ${wide} px wider than the screen`);
          }
        }
        expect(faults).toEqual([]);
      });
    }
  });
}
