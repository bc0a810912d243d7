import { describe, expect, test, vi } from 'vitest';
import { Camera } from '@/board/camera.svelte';
import { WayTool } from '@/sawing/waytool.svelte';
import type { Point } from '@/lib/wire/Point';

/** Looks at 400 by 300 mm, with 100, 50 in the middle. */
function aCamera(): Camera {
  const camera = new Camera();
  [camera.width, camera.height, camera.x, camera.y] = [400, 300, -100, -200];
  return camera;
}

function aTool(kept = true) {
  const [done, leave] = [vi.fn((_way: Point[]) => Promise.resolve(kept)), vi.fn()];
  const tool = new WayTool(done, leave);
  const press = (...keys: string[]) => keys.map((key) => tool.key(new KeyboardEvent('keydown', { key }), aCamera()));
  return { tool, done, leave, press };
}

describe('the way of a cut', () => {
  test('is drawn by the keys, taken back and finished', async () => {
    const { tool, done, press } = aTool();
    press('Enter', 'ArrowRight', 'ArrowRight', 'Enter', 'ArrowUp', 'Enter', 'Backspace', 'f');
    expect(done).toHaveBeenCalledWith([[100, 50], [120, 50]]);
    await vi.waitFor(() => expect(tool.cursor).toBeNull());
    expect(tool.line).toEqual([]);
  });

  test('is drawn by touch, the same place once', () => {
    const { tool } = aTool();
    [[1, 1], [1, 1.2], [50, 1]].forEach((it) => tool.tap(it as Point));
    expect(tool.line).toEqual([[1, 1], [50, 1]]);
  });

  test('of one point is not finished', () => {
    const { done, press } = aTool();
    press('Enter', 'f');
    expect(done).not.toHaveBeenCalled();
  });

  test('that was not kept stays, to be mended', async () => {
    const { tool, press } = aTool(false);
    press('Enter', 'ArrowLeft', 'Enter', 'F');
    await vi.waitFor(() => expect(tool.line).toEqual([[100, 50], [90, 50]]));
  });

  test('is left by Escape, and other keys stay the board’s', () => {
    const { leave, press } = aTool();
    expect(press('Escape', '+')).toEqual([true, false]);
    expect(leave).toHaveBeenCalledOnce();
  });
});
