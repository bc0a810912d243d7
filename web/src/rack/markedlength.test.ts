import { expect, test } from 'vitest';
import { MarkedLength } from '@/rack/markedlength.svelte';

const shown = { url: 'blob:wood', width: 4000, height: 3000 };
const along = () => new MarkedLength('A', 'along', [[0.25, 0.5], [0.75, 0.5]]);

test('an end waits on the picture, and counts only once it was moved', () => {
  const length = along();
  length.length = 500;
  expect(length.at(0, shown)).toEqual([1000, 1500]);
  expect(() => length.ask()).toThrow('an end of length A is not on the wood yet');
  expect(length.key(0, 'ArrowLeft', false, shown)).toBe(true);
  expect(length.key(1, 'ArrowDown', true, shown)).toBe(true);
  expect(length.key(1, 'Tab', false, shown)).toBe(false);
  expect(length.ask()).toEqual({ from_px: [996, 1500], to_px: [3000, 1580], length: 500 });
});

test('a brisk finger takes the end along, a slow one moves it finely', () => {
  const length = along();
  // The picture is shown a tenth as wide as it is.
  length.drag(0, [40, 0], 16, 400, shown);
  expect(length.at(0, shown)).toEqual([1400, 1500]);
  length.drag(0, [1, 0], 16, 400, shown);
  expect(length.at(0, shown)).toEqual([1402.5, 1500]);
  length.drag(0, [0, -4000], 16, 400, shown);
  expect(length.at(0, shown)).toEqual([1402.5, 0]);
});

test('another picture takes the ends off, and leaves what was typed', () => {
  const length = along();
  length.put(0, [10, 10], shown);
  length.put(1, [900, 10], shown);
  expect(() => length.ask()).toThrow('length A is missing');
  length.length = 300;
  length.takeUp();
  expect(length.length).toBe(300);
  expect(length.ends).toEqual([null, null]);
});
