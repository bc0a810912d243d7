import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';
import { fill, test, visit } from './shop';

const emptyPlaces = ['rack', 'rack/new', 'patterns', 'patterns/new', 'jobs', 'jobs/new', 'bench'];
const shopPlaces = ['shop/name', 'shop/machines', 'shop/clamps', 'shop/people', 'shop/allowances', 'shop/prices', 'shop/air', 'shop/photographs', 'shop/woods/hard_maple', 'shop/finishes/varnish_then_wax', 'shop/glues/epoxy'];
const filledPlaces = [...emptyPlaces, 'rack/1', 'patterns/1', 'jobs/1', 'jobs/1/sawing', 'bench/1', 'bench/1/all', ...shopPlaces];
const screens = [{ width: 1280, height: 800 }, { width: 390, height: 844 }];
const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];

/** What some readers could not use of what is on the screen, and what does not fit it. */
async function faultsOf(page: Page, where: string): Promise<string[]> {
  await expect(page.getByRole('status').filter({ hasText: '…' })).toHaveCount(0);
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText('Not here');
  // At the end of the page nothing lies half under the bars that stay at its foot.
  await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
  const { violations } = await new AxeBuilder({ page }).withTags(rules).analyze();
  const faults = violations.map(({ id, nodes }) => `${where}: ${id}: ${nodes.map((it) => it.target.join(' ')).join(', ')}`);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  return wide > 0 ? [...faults, `${where}: ${wide} px wider than the screen`] : faults;
}

for (const scheme of ['light', 'dark'] as const) {
  test.describe(`in ${scheme} colours`, () => {
    test.use({ colorScheme: scheme, contextOptions: { reducedMotion: 'reduce' } });
    test.describe.configure({ timeout: 900_000 });

    for (const filled of [true, false]) {
      test.describe(filled ? 'with the demo in it' : 'while it is empty', () => {
        test.use({ filled });

        test('every place can be read by all', async ({ page }) => {
          const faults: string[] = [];
          for (const screen of screens) {
            await page.setViewportSize(screen);
            for (const place of filled ? filledPlaces : emptyPlaces) {
              await visit(page, place);
              faults.push(...(await faultsOf(page, `${place} at ${screen.width}`)));
            }
          }
          expect(faults).toEqual([]);
        });
      });
    }

    test.describe('in the middle of work', () => {
      test.use({ filled: true });

      test('what is open, chosen, refused or running can be read by all', async ({ page }) => {
        const faults: string[] = [];
        await visit(page, 'rack/1');
        await page.getByRole('button', { name: 'Draw a zone' }).click();
        faults.push(...(await faultsOf(page, 'drawing a zone')));
        await page.getByRole('button', { name: 'Mend the edge', exact: true }).click();
        faults.push(...(await faultsOf(page, 'mending the edge')));
        await page.getByRole('button', { name: 'Look and move' }).click();
        await page.getByRole('button', { name: /side by side/ }).click();
        await page.getByRole('button', { name: 'Photograph the far face…' }).click();
        await page.getByRole('region', { name: 'Zones' }).getByRole('button').first().click();
        faults.push(...(await faultsOf(page, 'all questions, a zone and the far face’s form')));
        await page.getByRole('button', { name: 'See the photograph' }).click();
        faults.push(...(await faultsOf(page, 'the photograph')));

        await visit(page, 'patterns/2');
        await page.getByRole('region', { name: 'Features' }).getByRole('listitem').first().getByRole('button').click();
        faults.push(...(await faultsOf(page, 'a feature')));

        await visit(page, 'jobs/1');
        await page.getByRole('region', { name: 'Findings' }).getByRole('listitem').first().getByRole('button').click();
        faults.push(...(await faultsOf(page, 'a finding')));
        for (const sheet of ['Parts', 'Work', 'Dates', 'Bill']) {
          await page.getByRole('button', { name: sheet, exact: true }).click();
          faults.push(...(await faultsOf(page, `the job’s ${sheet}`)));
        }

        await visit(page, 'bench/1/all');
        await page.getByRole('link', { name: /Glue (group|up)/ }).first().click();
        await page.locator('label', { has: page.getByRole('checkbox') }).first().click();
        await page.getByRole('button', { name: 'Note what happened' }).click();
        await page.getByRole('button', { name: /^Start/ }).first().click();
        faults.push(...(await faultsOf(page, 'a step that is done')));

        await visit(page, 'shop/machines');
        await fill(page, 'Throat', 'wide');
        await expect(page.getByRole('alert')).toBeVisible();
        faults.push(...(await faultsOf(page, 'a refused length')));
        expect(faults).toEqual([]);
      });
    });
  });
}
