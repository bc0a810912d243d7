import { describe, expect, test } from 'vitest';
import { onShelves, type Room, type Thing } from '@/jobs/shelves';
import { overlap } from '@/lib/geometry';

const thing = (width: number, height: number, name = 60): Thing => ({ box: { left: 0, bottom: 0, width, height }, name });
const room: Room = { width: 790, height: 420, narrow: false };
/** A slab, an offcut, a plank, strip stock and a panel. */
const things = [thing(1160, 340), thing(630, 250), thing(1200, 190), thing(900, 110), thing(430, 330)];

function boxesOf(all: Thing[], at: [number, number][]) {
  return all.map(({ box }, index) => ({ ...box, left: box.left + at[index]![0], bottom: box.bottom + at[index]![1] }));
}

describe('faces on shelves', () => {
  test('do not cover each other and lie in the box', () => {
    const { at, box } = onShelves(things, room);
    const boxes = boxesOf(things, at);
    boxes.forEach((a, index) => {
      for (const b of boxes.slice(index + 1)) expect(overlap(a, b)).toBe(false);
      expect(a.left).toBeGreaterThanOrEqual(box.left);
      expect(a.left + a.width).toBeLessThanOrEqual(box.left + box.width + 1e-6);
      expect(a.bottom).toBeGreaterThanOrEqual(box.bottom);
      expect(a.bottom + a.height).toBeLessThanOrEqual(box.bottom + box.height);
    });
  });

  test('are larger than one below the other', () => {
    const scale = (it: { box: { width: number; height: number } }) => Math.min(room.width / it.box.width, room.height / it.box.height);
    const rows = scale(onShelves(things, room));
    const column = scale(onShelves(things, { ...room, narrow: true }));
    expect(rows).toBeGreaterThan(1.5 * column);
  });

  test('stand one below the other where the window is narrow, the widest as wide as it', () => {
    const narrow = { width: 310, height: 400, narrow: true };
    const { at, box, high } = onShelves(things, narrow);
    expect(new Set(at.map((it) => it[0]))).toEqual(new Set([0]));
    expect(box.width).toBeCloseTo(1200, 6);
    // 1220 mm of wood at 310 px for 1200 mm, and five names with room above them.
    expect(high).toBeCloseTo(1220 * (310 / 1200) + 5 * 40, 6);
  });

  test('leave room for a name that is wider than its face', () => {
    const { at } = onShelves([thing(100, 400, 200), thing(100, 400, 60)], room);
    const scale = (room.height - 40) / 400;
    expect(at[1]![0]).toBeGreaterThan(200 / scale);
  });

  test('may be none', () => {
    expect(onShelves([], room).at).toEqual([]);
  });
});
