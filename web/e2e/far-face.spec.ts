import AxeBuilder from '@axe-core/playwright';
import { expect, type Page } from '@playwright/test';
import { slabPicture, test, visit } from './shop';

test.use({ filled: true });

interface Kept {
  id: number;
  face: { outline: { outer: [number, number][] }; zones: unknown[] };
  far_face: { face: { zones: unknown[]; candidates: unknown[] }; lies: { problem: unknown }; marks: unknown[] } | null;
}

async function piece(page: Page, id: number): Promise<Kept> {
  const shop = await (await page.request.get('/api/shop')).json();
  return shop.pieces.find((it: Kept) => it.id === id);
}

async function faults(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).include('main').analyze();
  return violations.map((it) => `${it.id}: ${it.nodes.map((node) => node.target).join(' ')}`);
}

test('the far face is photographed, looked at and answered for by itself', async ({ page }) => {
  test.setTimeout(240_000);
  await visit(page, 'rack/1');
  const near = await piece(page, 1);
  await page.getByRole('button', { name: 'Photograph the far face…' }).click();
  const form = page.getByRole('region', { name: 'The far face of Walnut slab' });
  await form.getByLabel('Choose a picture').setInputFiles(slabPicture);
  await form.getByLabel('The scale sheets lay').selectOption('on_bench');
  await form.getByRole('button', { name: 'Bring the far face in' }).click();
  await expect(page.getByRole('button', { name: 'Far face', exact: true })).toHaveAttribute('aria-pressed', 'true', { timeout: 200_000 });
  await expect(form).toHaveCount(0);
  const board = page.getByRole('application', { name: /far side/ });
  await expect(board.locator('image')).not.toHaveCount(0);

  const asked = (await piece(page, 1)).far_face!.face.candidates.length;
  const cards = page.getByRole('region', { name: 'May be on this face' }).getByRole('listitem');
  await expect(cards).toHaveCount(asked);
  await cards.first().getByRole('button', { name: /^Yes,/ }).click();
  await expect(cards).toHaveCount(asked - 1);
  const after = await piece(page, 1);
  expect(after.far_face!.face.zones).toHaveLength(1);
  expect(after.face.zones).toHaveLength(near.face.zones.length);
  expect(await faults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Near face', exact: true }).click();
  await expect(board).toHaveCount(0);
});

test('a knot on both faces is said to go through, once two marks tell how they lie', async ({ page }) => {
  const kept = await piece(page, 3);
  const width = Math.max(...kept.face.outline.outer.map((it) => it[1]));
  const length = Math.max(...kept.face.outline.outer.map((it) => it[0]));
  const knot = (x: number, y: number) => ({ id: 1, kind: 'knot', area: [[x, y], [x + 30, y], [x + 30, y + 30], [x, y + 30]], through: true, note: '' });
  const lies = { place: { at: [5, 5], turn: 0, mirrored: false }, miss: 0, problem: null };
  // Turned over about its length: what is 40 from one edge is 40 from the other.
  const far = { face: { ...kept.face, zones: [knot(200, width - 70)] }, lies, marks: [] };
  const put = await page.request.put('/api/pieces/3', { data: { ...kept, face: { ...kept.face, zones: [knot(200, 40)] }, far_face: far } });
  expect(put.ok()).toBe(true);

  await visit(page, 'rack/3');
  await expect(page.getByText('whichever way the wood was turned over')).toBeVisible();
  await page.getByRole('button', { name: 'Mark a place on both faces' }).click();
  const board = page.getByRole('application', { name: /Maple plank/ });
  for (const share of [0, 1]) {
    for (const face of ['near', 'far']) {
      await page.getByRole('status').filter({ hasText: `on the ${face} face` }).waitFor();
      await board.scrollIntoViewIfNeeded();
      const line = (await board.locator('path.line.thick').boundingBox())!;
      await page.mouse.click(line.x + line.width * share, line.y + (face === 'near' ? 0 : line.height));
      if (face === 'near') await expect(page.getByRole('button', { name: 'Far face', exact: true })).toHaveAttribute('aria-pressed', 'true');
    }
    await expect.poll(async () => (await piece(page, 3)).far_face!.marks.length).toBe(share + 1);
    await page.getByRole('button', { name: 'Near face', exact: true }).click();
  }
  expect(length).toBeGreaterThan(width);
  await expect(page.getByText('The two faces fit each other within')).toBeVisible();
  await page.getByRole('button', { name: 'Look and move' }).click();
  const zones = page.getByRole('region', { name: 'Zones' });
  await expect(zones.getByRole('button', { name: /^Knot.*on both faces: it goes through/ })).toBeVisible();
  expect(await faults(page)).toEqual([]);
  await page.getByRole('button', { name: 'Far face', exact: true }).click();
  await expect(zones.getByRole('button', { name: /^Knot.*on both faces: it goes through/ })).toBeVisible();
});
