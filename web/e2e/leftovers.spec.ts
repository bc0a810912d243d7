import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

interface Kept {
  id: number;
  name: string;
  sawn?: { job: number; leftovers: number[] };
  face: { zones: unknown[]; picture: { picture: string } | null };
}

async function pieces(page: Page): Promise<Kept[]> {
  return (await (await page.request.get('/api/shop')).json()).pieces;
}

/** Says on the demo job's page that its wood is sawn; tells what was said beforehand. */
async function saw(page: Page): Promise<string> {
  await visit(page, 'jobs/1');
  await page.getByRole('button', { name: 'The wood is sawn…' }).click();
  const before = page.getByRole('region', { name: 'Before it is sawn' });
  const told = await before.getByText(/pieces are sawn; \d+ leftovers? go/).innerText();
  await before.getByRole('button', { name: 'Yes, it is sawn' }).click();
  await expect(page.getByRole('region', { name: 'Sawn wood' })).toBeVisible();
  return told;
}

test('what a job leaves of its wood goes on the rack with its picture and zones, and comes off it again', async ({ page }) => {
  const had = await pieces(page);
  const told = await saw(page);
  const now = await pieces(page);
  const sawn = now.filter((it) => it.sawn?.job === 1);
  const left = now.filter((it) => !had.some((one) => one.id === it.id));
  expect(told).toContain(`${sawn.length} pieces are sawn; ${left.length} leftover`);
  expect(left.map((it) => it.id)).toEqual(sawn.flatMap((it) => it.sawn!.leftovers));
  const note = page.getByRole('region', { name: 'Sawn wood' });
  await expect(note).toContainText('on the rack');
  await expect(page.getByRole('button', { name: 'Plan again' })).toHaveCount(0);
  await expect(page.getByRole('link', { name: 'Packet' })).toBeVisible();

  await visit(page, 'rack');
  const slab = page.getByRole('link', { name: /^Walnut slab from the yard(?!, offcut)/ });
  await expect(slab).toBeHidden();
  await page.getByText(/^Sawn: \d pieces$/).click();
  await expect(slab).toContainText('Sawn for Harvest supper');
  const first = left.find((it) => it.face.picture && it.face.zones.length)!;
  const card = page.getByRole('link', { name: new RegExp(`^${first.name}`) });
  await expect(card.locator('image')).toHaveCount(1);
  const drawn = await page.request.get(`/api/pictures/${first.face.picture!.picture}`);
  expect(drawn.headers()['content-type']).toBe('image/jpeg');
  await card.click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(first.name);
  await expect(page.getByRole('region', { name: 'Zones' }).getByRole('listitem')).toHaveCount(first.face.zones.length);

  await visit(page, 'jobs/1');
  await page.getByRole('region', { name: 'Sawn wood' }).getByRole('button', { name: 'It is not sawn after all' }).click();
  await expect(page.getByRole('button', { name: 'The wood is sawn…' })).toBeVisible();
  expect(await pieces(page)).toEqual(had);
  await page.getByRole('button', { name: 'Redo: saw the wood of Harvest supper' }).click();
  await expect(page.getByRole('region', { name: 'Sawn wood' })).toBeVisible();
  expect(await pieces(page)).toEqual(now);
});

test('sawn wood is offered to nothing else, and tells what became of it', async ({ page }) => {
  await saw(page);
  await visit(page, 'rack/1');
  const told = page.getByRole('region', { name: 'Sawn' });
  await expect(told).toContainText('Sawn for Harvest supper');
  await expect(page.getByRole('button', { name: 'Draw a zone' })).toHaveCount(0);
  await told.getByRole('link', { name: /offcut 1$/ }).click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(/offcut 1$/);
  await page.getByRole('button', { name: 'Try every pattern on it' }).click();
  await expect(page.getByText(/thick when done, one of these|No pattern finds/)).toBeVisible();

  await visit(page, 'jobs/new');
  await page.getByLabel('Name', { exact: true }).fill('Another');
  await page.getByRole('button', { name: 'Start this job' }).click();
  const wood = page.getByRole('group', { name: 'Pieces that may be sawn' });
  await expect(wood.getByRole('checkbox', { name: /Walnut slab from the yard, offcut 1/ })).toBeChecked();
  await expect(wood.getByRole('checkbox', { name: /^Walnut slab from the yard, \d/ })).toHaveCount(0);
});

test('what is told about sawn wood can be read by all, on a phone as at the desk', async ({ page }) => {
  const rules = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
  const faults: string[] = [];
  async function look(where: string): Promise<void> {
    const { violations } = await new AxeBuilder({ page }).withTags(rules).analyze();
    faults.push(...violations.map(({ id, nodes }) => `${where}: ${id}: ${nodes.map((it) => it.target.join(' ')).join(', ')}`));
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (wide > 0) faults.push(`${where}: ${wide} px wider than the screen`);
  }
  for (const scheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: scheme });
    await page.setViewportSize({ width: 390, height: 844 });
    await visit(page, 'jobs/1');
    await page.getByRole('button', { name: 'The wood is sawn…' }).click();
    await expect(page.getByRole('region', { name: 'Before it is sawn' })).toBeVisible();
    await look(`asked, ${scheme}`);
    await page.getByRole('button', { name: 'Yes, it is sawn' }).click();
    await expect(page.getByRole('region', { name: 'Sawn wood' })).toBeVisible();
    for (const place of ['jobs/1', 'jobs', 'rack', 'rack/1']) {
      await visit(page, place);
      if (place === 'rack') await page.getByText(/^Sawn: \d pieces$/).click();
      await look(`${place}, ${scheme}`);
      await page.setViewportSize({ width: 1280, height: 800 });
      await look(`${place} at the desk, ${scheme}`);
      await page.setViewportSize({ width: 390, height: 844 });
    }
    await page.request.post('/api/undo');
  }
  expect(faults).toEqual([]);
});
