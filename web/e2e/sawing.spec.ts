import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';
import { fill, planAgain, reload, test, visit } from './shop';

test.use({ filled: true });

/** What the maker has decided about the sawing of the demo's job, as the shop keeps it. */
async function choices(page: Page): Promise<{ sawing: string; blades_left: number[]; own_cuts: { blade?: number; way: unknown[] }[] }> {
  const shop = await (await page.request.get('/api/shop')).json();
  return shop.jobs[0].job.choices;
}

async function faults(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).include('main').analyze();
  return violations.map((it) => `${it.id}: ${it.nodes.map((node) => node.target).join(' ')}`);
}

test('the cuts are drawn on the wood and listed beside it, and that is remembered', async ({ page }) => {
  await visit(page, 'jobs/1');
  const tools = page.getByRole('group', { name: 'The cuts' });
  await tools.getByRole('button', { name: 'Cuts', exact: true }).click();
  const list = page.getByRole('region', { name: 'Cuts at the bandsaw' });
  const first = list.getByRole('button', { name: /^Cut \d+/ }).first();
  await expect(first).toBeVisible();
  const board = page.getByRole('application', { name: /The wood of Harvest supper/ });
  await expect(board.locator('.cuts .bright')).toHaveCount(0);
  await first.click();
  await expect(first).toHaveAttribute('aria-pressed', 'true');
  await expect(board.locator('.cuts .bright')).toHaveCount(1);
  await list.getByText(/^Reach toward the column/).first().click();
  await expect(list.getByText('Work in the hands').first()).toBeVisible();
  await tools.getByRole('button', { name: 'Stock left' }).click();
  expect(await faults(page)).toEqual([]);
  await reload(page);
  await expect(list).toBeVisible();
  await page.getByRole('button', { name: 'Findings', exact: true }).click();
  await expect(page.getByRole('region', { name: 'Findings' })).toBeVisible();
  await tools.getByRole('button', { name: 'Cuts', exact: true }).click();
  await expect(board.locator('.cuts')).toHaveCount(0);
});

test('the sawing is played at the blade, paused, led and stepped from cut to cut', async ({ page }) => {
  await visit(page, 'jobs/1');
  await page.getByRole('link', { name: 'Watch it sawn' }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('at the saw');
  const way = page.getByRole('slider', { name: 'Along the sawing' });
  const far = async () => Number(await way.inputValue());
  await expect.poll(far).toBeGreaterThan(5);
  await page.getByRole('button', { name: 'Pause' }).click();
  const paused = await far();
  const all = page.getByRole('list', { name: 'All cuts of this face' });
  await all.getByRole('button').last().click();
  const count = await all.getByRole('listitem').count();
  await expect(page.getByText(new RegExp(`^Cut ${count} of ${count},`))).toBeVisible();
  expect(await far()).toBeGreaterThan(paused);
  await page.getByRole('application').focus();
  const begun = await far();
  await page.keyboard.press('ArrowRight');
  await expect.poll(far).toBe(begun + 20);
  await page.keyboard.press('Space');
  await expect.poll(far).toBeGreaterThan(begun + 25);
  await page.keyboard.press('Space');
  await page.getByRole('button', { name: 'Previous cut' }).click();
  await expect(page.getByText(new RegExp(`^Cut ${count} of ${count}, 0 in sawn`))).toBeVisible();
  expect(await faults(page)).toEqual([]);
});

test.describe('for those who want no motion', () => {
  test.use({ contextOptions: { reducedMotion: 'reduce' } });

  test('nothing runs by itself, and the cuts are stepped', async ({ page }) => {
    await visit(page, 'jobs/1');
    await page.getByRole('link', { name: 'Watch it sawn' }).click();
    const way = page.getByRole('slider', { name: 'Along the sawing' });
    await expect(way).toHaveValue('0');
    await expect(page.getByRole('button', { name: 'Play' })).toHaveCount(0);
    await page.getByRole('button', { name: 'Next cut' }).click();
    await expect(way).not.toHaveValue('0');
  });
});

test('at the bench a saw’s operation shows its own cuts, and leads to them', async ({ page }) => {
  await visit(page, 'bench/1/all');
  await page.getByRole('link', { name: /Saw .* (out of|apart)/ }).first().click();
  const drawing = page.getByRole('img', { name: /in this operation/ });
  await expect(drawing).toBeVisible();
  await expect(drawing.locator('.cuts .bright').first()).toBeVisible();
  await page.getByRole('link', { name: 'Watch it sawn' }).click();
  await expect(page.getByRole('heading', { level: 1 })).toContainText('at the saw');
  await page.getByRole('link', { name: 'Bench', exact: true }).first().click();
  await expect(page).toHaveURL(/#\/bench/);
});

test('wood too long for the saw is crosscut by hand first, and the bench shows where', async ({ page }) => {
  await visit(page, 'shop/machines');
  await fill(page, 'Throat', '9 1/2 in');
  await visit(page, 'jobs/1');
  await planAgain(page);
  await visit(page, 'bench/1/all');
  await page.getByRole('link', { name: /Crosscut .* by hand/ }).first().click();
  const drawing = page.getByRole('img', { name: 'in this operation: A' });
  await expect(drawing.locator('.cuts .bright')).toHaveCount(1);
  await expect(drawing.getByText('A', { exact: true })).toBeVisible();
  await expect(page.getByText('Line A is sawn by hand now')).toBeVisible();
  await expect(page.getByText(/Line A: straight from/)).toBeVisible();
  expect(await faults(page)).toEqual([]);
});

test('what the sawing is planned for is kept, and a blade stays on the wall', async ({ page }) => {
  await visit(page, 'jobs/1');
  await page.getByRole('button', { name: 'Wanted' }).click();
  const fields = page.getByRole('region', { name: 'How it is sawn' });
  await fields.getByLabel('What the sawing is planned for').selectOption('smooth');
  await expect.poll(async () => (await choices(page)).sawing).toBe('smooth');
  const blade = fields.getByRole('group', { name: /stay on the wall/ }).getByRole('checkbox').last();
  await blade.check();
  await expect.poll(async () => (await choices(page)).blades_left.length).toBe(1);
  await reload(page);
  await page.getByRole('button', { name: 'Wanted' }).click();
  await expect(fields.getByLabel('What the sawing is planned for')).toHaveValue('smooth');
  await expect(blade).toBeChecked();
});

test('a cut of one’s own is drawn by the keys, kept, and taken back', async ({ page }) => {
  await visit(page, 'jobs/1');
  await page.getByRole('button', { name: 'Draw a cut of your own' }).click();
  const tools = page.getByRole('group', { name: 'A cut of your own' });
  await expect(tools.getByRole('button', { name: 'Finish the cut' })).toBeDisabled();
  const press = async (key: string, times = 1) => {
    for (let time = 0; time < times; time++) await page.keyboard.press(key);
  };
  await page.getByRole('application', { name: /The wood of Harvest supper/ }).focus();
  await press('Enter');
  await expect(tools.getByRole('status')).toContainText('1 point set');
  // Over most of the drawing, so that there is wood under it.
  await press('ArrowUp', 40);
  await press('Enter');
  await press('ArrowLeft', 60);
  await press('Enter');
  await press('ArrowRight');
  await press('Enter');
  await press('Backspace');
  await expect(tools.getByRole('status')).toContainText('3 points set');
  await press('f');
  await expect.poll(async () => (await choices(page)).own_cuts.map((it) => it.way.length)).toEqual([3]);
  await expect(tools).toHaveCount(0);

  await page.getByRole('button', { name: 'Wanted' }).click();
  const own = page.getByRole('group', { name: 'Cuts of your own' });
  await own.getByLabel('Blade for cut 1 of your own').selectOption({ index: 1 });
  await expect.poll(async () => (await choices(page)).own_cuts[0]!.blade).toBeDefined();
  await own.getByRole('button', { name: 'Take the cut back' }).click();
  await expect.poll(async () => (await choices(page)).own_cuts.length).toBe(0);
  await page.getByRole('button', { name: /^Undo:/ }).click();
  await expect.poll(async () => (await choices(page)).own_cuts.length).toBe(1);
});

test('a cut of one’s own beside all wood is not kept, and stays to be mended', async ({ page }) => {
  await visit(page, 'jobs/1');
  await page.getByRole('button', { name: 'Draw a cut of your own' }).click();
  const board = page.getByRole('application', { name: /The wood of Harvest supper/ });
  const box = (await board.boundingBox())!;
  await page.mouse.click(box.x + box.width - 60, box.y + 40);
  await page.mouse.click(box.x + box.width - 30, box.y + 40);
  await page.getByRole('button', { name: 'Finish the cut' }).click();
  await expect(page.getByRole('alert')).toContainText('found none under it', { ignoreCase: true });
  await expect(page.getByText('2 points set')).toBeVisible();
  await page.getByRole('button', { name: 'Leave it' }).click();
  await expect(page.getByRole('group', { name: 'The cuts' })).toBeVisible();
  expect((await choices(page)).own_cuts).toEqual([]);
});

test('a cut of one’s own that no blade can saw is told among the findings', async ({ page }) => {
  const shop = await (await page.request.get('/api/shop')).json();
  const job = shop.jobs[0].job;
  // It begins in the wood, where no blade goes in.
  job.choices.own_cuts = [{ face: { of: 'piece', id: 1 }, way: [[300, 100], [340, 100]] }];
  const saved = await page.request.put('/api/jobs/1', { data: job });
  expect(saved.ok(), await saved.text()).toBe(true);
  await visit(page, 'jobs/1');
  await planAgain(page);
  await expect(page.getByRole('region', { name: 'Findings' })).toContainText('Own cut cannot be sawn');
});

test('the band of a blade and the saw’s table are kept, and empty means not measured', async ({ page }) => {
  await visit(page, 'shop/machines');
  const blade = page.getByRole('group', { name: /^Blade/ }).first();
  const band = blade.getByLabel('Band’s thickness');
  await band.fill('0.022 in');
  await band.press('Tab');
  await blade.getByLabel('Band’s length').fill('105');
  await blade.getByLabel('Band’s length').press('Tab');
  await page.getByLabel('Table', { exact: true }).fill('18');
  await page.getByLabel('Table', { exact: true }).press('Tab');
  await reload(page);
  await expect(band).toHaveValue('0.022 in');
  await expect(blade.getByLabel('Band’s length')).toHaveValue('105 in');
  await expect(page.getByLabel('Table', { exact: true })).toHaveValue('18 in');
  await band.fill('');
  await band.press('Tab');
  await reload(page);
  await expect(band).toHaveValue('');
});
