import AxeBuilder from '@axe-core/playwright';
import { expect, type Locator, type Page } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

/** Takes the spoon rest of the demo's job in hand, by the keys. */
async function takeSpoonRest(page: Page): Promise<Locator> {
  await visit(page, 'jobs/1');
  const board = page.getByRole('application', { name: /The wood of Harvest supper/ });
  await board.scrollIntoViewIfNeeded();
  await board.focus();
  const tools = page.getByRole('group', { name: 'The part in hand' });
  await expect(async () => {
    await page.keyboard.press('.');
    await expect(tools).toContainText('Spoon rest', { timeout: 500 });
  }).toPass();
  await expect(board.locator('path.part.free')).toHaveCount(1);
  return board;
}

async function middleOf(place: Locator): Promise<[number, number]> {
  const box = (await place.boundingBox())!;
  return [box.x + box.width / 2, box.y + box.height / 2];
}

/** The knot of the slab that is nearest to the part in hand. */
async function nearestKnot(board: Locator): Promise<[number, number]> {
  const [x, y] = await middleOf(board.locator('path.part.free'));
  const knots = await board.locator('path.edge[style*="zone-knot"]').all();
  const places = await Promise.all(knots.map(middleOf));
  const far = ([knotX, knotY]: [number, number]) => Math.hypot(knotX - x, knotY - y);
  return places.reduce((best, it) => (far(it) < far(best) ? it : best));
}

/** The pins of the demo's job, as the shop keeps them. */
async function pins(page: Page): Promise<unknown[]> {
  const shop = await (await page.request.get('/api/shop')).json();
  return shop.jobs[0].job.choices.pins;
}

test('a part dragged over a knot says so, is pushed clear by the keys, and is pinned', async ({ page }) => {
  const board = await takeSpoonRest(page);
  const told = page.locator('p.told');
  const [from, to] = [await middleOf(board.locator('path.part.free')), await nearestKnot(board)];
  await page.mouse.move(...from);
  await page.mouse.down();
  await page.mouse.move(...to, { steps: 12 });
  await expect(board.locator('path.part.amiss')).toHaveCount(1);
  await expect(told).toContainText('knot');
  await expect(board.locator('path.breach').first()).toBeVisible();
  await page.mouse.up();
  await expect(page.getByRole('status').filter({ hasText: 'knot' })).toHaveCount(1);
  const { violations } = await new AxeBuilder({ page }).include('main').analyze();
  expect(violations.map((it) => `${it.id}: ${it.nodes.map((node) => node.target).join(' ')}`)).toEqual([]);

  // Off the slab's edge, which the knot is near to, and then away from the knot.
  await board.focus();
  for (let step = 0; step < 3; step++) await page.keyboard.press('Shift+ArrowUp');
  await page.keyboard.press('Control+ArrowRight');
  await expect(board.locator('path.part.free')).toHaveCount(1);
  await expect(board.locator('path.breach')).toHaveCount(0);
  await expect(told).toHaveText('It may lie here');

  // Keys that follow each other are kept as one, a little later.
  const faults = async () => {
    const [pin] = await pins(page);
    return (await (await page.request.post('/api/jobs/1/verdict', { data: pin })).json()).faults;
  };
  await expect.poll(faults).toEqual([]);
  await page.getByRole('button', { name: 'Take the pin off' }).click();
  await expect.poll(async () => (await pins(page)).length).toBe(0);
  await page.getByRole('button', { name: 'Pin it here' }).click();
  await expect.poll(async () => (await pins(page)).length).toBe(1);
});

test('pushed on it touches, and one step farther it may not lie', async ({ page }) => {
  const board = await takeSpoonRest(page);
  await page.keyboard.press('Control+ArrowRight');
  await expect(board.locator('path.part.free')).toHaveCount(1);
  await page.keyboard.press('ArrowRight');
  await expect(board.locator('path.part.amiss')).toHaveCount(1);
  await expect(board.locator('path.breach').first()).toBeVisible();
  await page.keyboard.press('ArrowLeft');
  await expect(board.locator('path.part.free')).toHaveCount(1);
});
