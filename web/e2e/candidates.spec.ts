import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

const strip = (page: Page) => page.getByRole('region', { name: 'May be on this face' });
const zones = (page: Page) => page.getByRole('region', { name: 'Zones' }).getByRole('listitem');

/** What the shop keeps of the offcut's face. */
async function face(page: Page): Promise<{ zones: { id: number; kind: string }[]; candidates: { id: number }[] }> {
  const shop = await (await page.request.get('/api/shop')).json();
  return shop.pieces.find((it: { id: number }) => it.id === 2).face;
}

/** The journeys bring their own questions: the offcut's knots and checks are asked about again. */
test.beforeEach(async ({ page }) => {
  const shop = await (await page.request.get('/api/shop')).json();
  const piece = shop.pieces.find((it: { id: number }) => it.id === 2);
  const asked = piece.face.zones.filter((it: { kind: string }) => ['knot', 'check'].includes(it.kind));
  piece.face.zones = piece.face.zones.filter((it: unknown) => !asked.includes(it));
  for (const { id, kind, area } of asked) piece.face.candidates.push({ id, kind, area, sure: 0.8 });
  const saved = await page.request.put('/api/pieces/2', { data: piece });
  expect(saved.ok(), await saved.text()).toBe(true);
  expect(piece.face.candidates.length).toBeGreaterThan(2);
});

test('a fault that may be there is confirmed as another kind, the next refused, and both are taken back', async ({ page }) => {
  await visit(page, 'rack/2');
  const before = await face(page);
  const cards = strip(page).getByRole('listitem');
  await expect(cards).toHaveCount(before.candidates.length);
  const count = await zones(page).count();

  await cards.first().getByLabel('What it is').selectOption('bark');
  await cards.first().getByRole('button', { name: 'Yes, bark' }).click();
  await expect(cards).toHaveCount(before.candidates.length - 1);
  await expect(zones(page)).toHaveCount(count + 1);
  await expect(zones(page).getByRole('button', { name: /^Bark/ })).toBeVisible();
  await expect(strip(page).getByRole('status')).toContainText(`Bark marked, ${before.candidates.length - 1} questions left`);

  await cards.first().getByRole('button', { name: 'No', exact: true }).click();
  await expect(cards).toHaveCount(before.candidates.length - 2);
  await expect(zones(page)).toHaveCount(count + 1);

  await page.getByRole('button', { name: /^Undo: find no/ }).click();
  await page.getByRole('button', { name: /^Undo: find 1 place with bark/ }).click();
  await expect(cards).toHaveCount(before.candidates.length);
  await expect.poll(() => face(page)).toEqual(before);
});

test('what the answers have come to is told in the shop, and can be forgotten', async ({ page }) => {
  await visit(page, 'shop/photographs');
  await expect(page.getByText('Nothing answered yet')).toBeVisible();
  await visit(page, 'rack/2');
  await strip(page).getByRole('button', { name: /^Yes, a knot/ }).first().click();
  await expect(strip(page).getByRole('status')).toContainText('Knot marked');
  await visit(page, 'shop/photographs');
  const line = page.getByRole('listitem', { name: 'Knot' });
  await expect(line).toContainText('Of 1 knot that photographs seemed to show, 1 was a fault');
  await line.getByRole('button', { name: 'Forget these answers' }).click();
  await expect(line).toHaveCount(0);
  await page.getByRole('button', { name: /^Undo: forget the answers about knot/ }).click();
  await expect(line).toBeVisible();
});

test('those that are left are seen side by side and answered together, and one undo brings them back', async ({ page }) => {
  await visit(page, 'rack/2');
  const before = await face(page);
  const none = page.getByRole('button', { name: 'No, none of them' });
  await expect(none).toHaveCount(0);
  await strip(page).getByRole('button', { name: /^See all \d+ side by side/ }).click();
  const cards = strip(page).getByRole('listitem');
  const edges = await cards.evaluateAll((all) => all.map((it) => it.getBoundingClientRect().right));
  expect(Math.max(...edges)).toBeLessThanOrEqual(1280);
  await cards.last().getByLabel('What it is').selectOption('stain');
  await strip(page).getByRole('button', { name: 'Yes, as their cards say' }).click();
  await expect(page.getByRole('heading', { name: 'All faults looked at' })).toBeFocused();
  expect((await face(page)).zones).toHaveLength(before.zones.length + before.candidates.length);
  expect((await face(page)).zones.at(-1)!.kind).toBe('stain');
  await page.getByRole('button', { name: `Undo: answer for ${before.candidates.length} faults of Cherry offcut` }).click();
  await expect.poll(() => face(page)).toEqual(before);
  await none.click();
  await expect.poll(async () => (await face(page)).candidates.length).toBe(0);
  expect((await face(page)).zones).toEqual(before.zones);
});

test('the keys go from one to the next and answer, and end at a heading', async ({ page }) => {
  await visit(page, 'rack/2');
  const cards = strip(page).getByRole('listitem');
  const all = await cards.count();
  const pictures = strip(page).getByRole('button', { name: /sure/ });
  await pictures.first().focus();
  await page.keyboard.press('ArrowRight');
  await expect(pictures.nth(1)).toBeFocused();
  await expect(pictures.nth(1)).toHaveAttribute('aria-pressed', 'true');
  await page.keyboard.press('ArrowLeft');
  await expect(pictures.first()).toBeFocused();
  for (let left = all; left > 0; left--) {
    await expect(cards).toHaveCount(left);
    await expect(pictures.first()).toBeFocused();
    await page.keyboard.press(left === all ? 'y' : 'n');
  }
  await expect(page.getByRole('heading', { name: 'All faults looked at' })).toBeFocused();
  expect((await face(page)).candidates).toEqual([]);
  await page.keyboard.press('Control+z');
  await expect(cards).toHaveCount(1);
});

test('one that is touched on the board is in hand in the list, and the board answers to the keys', async ({ page }) => {
  await visit(page, 'rack/2');
  const board = page.getByRole('application', { name: /Cherry offcut/ });
  const cards = strip(page).getByRole('listitem');
  const all = await cards.count();
  await board.locator('text', { hasText: '?' }).nth(1).waitFor();
  const mark = (await board.locator('path.doubt').nth(1).boundingBox())!;
  await page.mouse.click(mark.x + mark.width / 2, mark.y + mark.height / 2);
  await expect(strip(page).getByRole('button', { pressed: true })).toHaveCount(1);
  await expect(board).toBeFocused();
  await page.keyboard.press('n');
  await expect(cards).toHaveCount(all - 1);
  await expect(board).toBeFocused();
  await page.keyboard.press('Escape');
  await expect(strip(page).getByRole('button', { pressed: true })).toHaveCount(0);
});

test.describe('with a thumb', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

  test('one touch answers, on a target large enough', async ({ page }) => {
    await visit(page, 'rack/2');
    const cards = strip(page).getByRole('listitem');
    const all = await cards.count();
    for (const name of [/^Yes,/, /^No$/]) {
      const size = (await cards.first().getByRole('button', { name }).boundingBox())!;
      expect(Math.min(size.width, size.height)).toBeGreaterThanOrEqual(44);
    }
    await cards.first().getByRole('button', { name: /^Yes,/ }).tap();
    await expect(cards).toHaveCount(all - 1);
    const { violations } = await new AxeBuilder({ page }).include('main').analyze();
    expect(violations.map((it) => `${it.id}: ${it.nodes.map((node) => node.target).join(' ')}`)).toEqual([]);
  });
});
