import { expect, test, vi } from 'vitest';
import { nearestOn } from '@/lib/geometry';
import { scaledBy } from '@/patterns/scale';
import { open, TracedEditor, withLine } from '@/patterns/traced.svelte';
import type { Shop } from '@/lib/shop.svelte';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Ring } from '@/lib/wire/Ring';
import type { TracedLine } from '@/lib/wire/TracedLine';

const square: Ring = [[0, 0], [100, 0], [100, 100], [0, 100]];
const line: TracedLine = { drawn: square, corners: [[100, 100]], least_radius: 2, stray: 0.5, symmetric: false };
const pattern: Pattern = {
  id: 1,
  name: 'Leaf',
  origin: { from: 'traced', picture: 'p', line },
  outline: { outer: square, openings: [] },
  features: [],
};

test('a touch beside the outline takes the nearest point of it', () => {
  expect(nearestOn(square, [103, 40])).toEqual([100, 40]);
  expect(nearestOn(square, [110, 110])).toEqual([100, 100]);
});

test('a traced line grows with its pattern, corners too, and keeps its least radius', () => {
  const { origin, outline } = scaledBy(pattern, 3);
  expect(outline.outer[2]).toEqual([300, 300]);
  expect(origin).toMatchObject({ line: { corners: [[300, 300]], least_radius: 2, stray: 0.5 } });
  expect(origin.from === 'traced' && origin.line?.drawn[1]).toEqual([300, 0]);
});

test('a sharp place that is kept is not offered again', () => {
  expect(open([[0, 0], [99, 99]], [[100, 100]], 5)).toEqual([[0, 0]]);
});

test('another line brings its own outline, and a drawing has none', () => {
  const outline = { outer: square.slice(0, 3), openings: [] };
  expect(withLine(pattern, { ...line, symmetric: true }, outline)).toMatchObject({ outline, origin: { line: { symmetric: true } } });
  const drawing: Pattern = { ...pattern, origin: { from: 'drawing', file: 'x.svg' } };
  expect(withLine(drawing, line, outline)).toBe(drawing);
});

test('a size that is told while the line is still made smooth is told of the smooth line', async () => {
  let kept = pattern;
  const pauses = [30, 1];
  vi.stubGlobal('fetch', async (_: string, { body }: { body: string }) => {
    await new Promise((done) => setTimeout(done, pauses.shift()));
    const { drawn } = JSON.parse(body) as TracedLine;
    return new Response(JSON.stringify({ outline: { outer: drawn, openings: [] } }));
  });
  const shop = {
    pattern: () => kept,
    editPattern: async (_: number, change: (it: Pattern) => Pattern) => (kept = change(kept)),
  };
  const traced = new TracedEditor(shop as unknown as Shop, () => pattern.id);
  const smoother = traced.change((it) => ({ ...it, least_radius: 7 }));
  await Promise.all([smoother, traced.sizeOverAll(300, 100)]);
  vi.unstubAllGlobals();
  expect(kept).toMatchObject({ outline: { outer: [[0, 0], [300, 0], [300, 300], [0, 300]] } });
  expect(kept).toMatchObject({ origin: { line: { least_radius: 7, corners: [[300, 300]] } } });
  expect(traced.tried).toBeNull();
});
