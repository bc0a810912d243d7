import AxeBuilder from '@axe-core/playwright';
import { expect, type Locator, type Page } from '@playwright/test';
import { test, visit } from './shop';

test.use({ filled: true });

/** The edge of the offcut, as the shop keeps it. */
async function edge(page: Page): Promise<[number, number][]> {
  const shop = await (await page.request.get('/api/shop')).json();
  return shop.pieces.find((it: { id: number }) => it.id === 2).face.outline.outer;
}

/** Draws a stroke over a board, from one place to another in shares of its size. */
async function stroke(board: Locator, from: [number, number], to: [number, number]): Promise<void> {
  const box = (await board.boundingBox())!;
  const mouse = board.page().mouse;
  const at = (share: number): [number, number] => [
    box.x + box.width * (from[0] + (to[0] - from[0]) * share),
    box.y + box.height * (from[1] + (to[1] - from[1]) * share),
  ];
  await mouse.move(...at(0));
  await mouse.down();
  for (let step = 1; step <= 12; step++) await mouse.move(...at(step / 12));
  await mouse.up();
}

test('strokes that say what is no wood mend the edge, and undo brings it back', async ({ page }) => {
  await visit(page, 'rack/2');
  const before = await edge(page);
  await page.getByRole('button', { name: 'Mend the edge', exact: true }).click();
  await page.getByRole('button', { name: 'This is not wood' }).click();
  const board = page.getByRole('application', { name: /Cherry offcut/ });
  await board.scrollIntoViewIfNeeded();
  const send = page.getByRole('button', { name: 'Mend the edge here' });
  await expect(send).toBeDisabled();
  const line = (await board.locator('path.line.thick').boundingBox())!;
  const box = (await board.boundingBox())!;
  const right = (line.x + line.width - box.x - 14) / box.width;
  await stroke(board, [right, 0.45], [right, 0.7]);
  await stroke(board, [0.4, 0.4], [0.6, 0.6]);
  await page.getByRole('button', { name: 'Take the last stroke back' }).click();
  const { violations } = await new AxeBuilder({ page }).include('main').analyze();
  expect(violations.map((it) => `${it.id}: ${it.nodes.map((node) => node.target).join(' ')}`)).toEqual([]);
  await send.click();
  await expect.poll(() => edge(page), { timeout: 60_000 }).not.toEqual(before);
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(send).toBeDisabled();
  await page.getByRole('button', { name: 'Undo: mend the edge of Cherry offcut' }).click();
  await expect.poll(() => edge(page)).toEqual(before);
});

test('a stroke can be drawn and sent with the keys alone', async ({ page }) => {
  await visit(page, 'rack/2');
  await page.getByRole('button', { name: 'Mend the edge', exact: true }).click();
  const board = page.getByRole('application', { name: /Cherry offcut/ });
  await board.focus();
  for (const key of ['w', 'Enter', 'ArrowRight', 'ArrowRight', 'ArrowUp', 'Enter']) await page.keyboard.press(key);
  await expect(page.getByRole('button', { name: 'Mend the edge here' })).toBeEnabled();
  await page.keyboard.press('m');
  await expect(page.getByRole('button', { name: 'Mend the edge here' })).toBeDisabled({ timeout: 60_000 });
  await page.keyboard.press('Escape');
  await expect(page.getByRole('button', { name: 'Look and move' })).toHaveAttribute('aria-pressed', 'true');
});

test('corners of the edge are moved, set and taken out', async ({ page }) => {
  await visit(page, 'rack/3');
  const kept = async () => (await (await page.request.get('/api/shop')).json()).pieces[2].face.outline.outer.length;
  expect(await kept()).toBe(4);
  await page.getByRole('button', { name: 'Mend the edge', exact: true }).click();
  await expect(page.getByRole('button', { name: 'This is wood' })).toHaveCount(0);
  const board = page.getByRole('application', { name: /Maple plank/ });
  await board.scrollIntoViewIfNeeded();
  const line = (await board.locator('path.line.thick').boundingBox())!;
  await page.mouse.move(line.x + line.width / 2, line.y + 1);
  await page.mouse.down();
  await page.mouse.move(line.x + line.width / 2, line.y + 20, { steps: 4 });
  await page.mouse.up();
  await expect.poll(kept).toBe(5);
  await page.getByRole('button', { name: 'Take this corner out' }).click();
  await expect.poll(kept).toBe(4);
  await page.getByRole('button', { name: /^Undo:/ }).click();
  await expect.poll(kept).toBe(5);
});

test.describe('with a finger', () => {
  test.use({ viewport: { width: 390, height: 844 }, hasTouch: true });

  test('a stroke is drawn, two fingers move the picture instead, and the edge is mended', async ({ page }) => {
    await visit(page, 'rack/2');
    const before = await edge(page);
    await page.getByRole('button', { name: 'Mend the edge', exact: true }).tap();
    await page.getByRole('button', { name: 'This is not wood' }).tap();
    const board = page.getByRole('application', { name: /Cherry offcut/ });
    await board.scrollIntoViewIfNeeded();
    const line = (await board.locator('path.line.thick').boundingBox())!;
    const hand = await page.context().newCDPSession(page);
    const touch = (type: 'touchStart' | 'touchMove' | 'touchEnd', ...fingers: [number, number][]) =>
      hand.send('Input.dispatchTouchEvent', { type, touchPoints: fingers.map(([x, y], id) => ({ x, y, id })) });
    const [x, y] = [line.x + line.width - 6, line.y + line.height * 0.4];
    const send = page.getByRole('button', { name: 'Mend the edge here' });

    await touch('touchStart', [x - 60, y]);
    await touch('touchStart', [x - 60, y], [x - 120, y]);
    await touch('touchMove', [x - 60, y + 8], [x - 120, y + 8]);
    await touch('touchMove', [x - 60, y], [x - 120, y]);
    await touch('touchEnd');
    await expect(send).toBeDisabled();

    await touch('touchStart', [x, y]);
    for (let step = 1; step <= 8; step++) await touch('touchMove', [x, y + step * 4]);
    await touch('touchEnd');
    await send.click();
    await expect.poll(() => edge(page), { timeout: 60_000 }).not.toEqual(before);
    await expect(page.getByRole('alert')).toHaveCount(0);
  });
});
