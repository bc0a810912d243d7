import type { Size } from '@/board/labels';
import { boxAround, type Box } from '@/lib/geometry';
import type { Point } from '@/lib/wire/Point';

/** The room for a drawing in pixels. */
export interface Room extends Size {
  /** One face below the other, as high as that is. */
  narrow: boolean;
}

/** A face's box in millimetres, and how wide its name is in pixels. */
export interface Thing {
  box: Box;
  name: number;
}

export interface Shelves {
  /** Where each thing's own origin comes to lie, in millimetres. */
  at: Point[];
  /** All of it with the names, in millimetres. */
  box: Box;
  /** The pixels it needs at its scale. */
  high: number;
}

/** Above a face is room for a flag on its corner, below it for its name; in pixels. */
const ABOVE = 15;
const BELOW = 25;
const BETWEEN = 30;
/** The buttons of the view, in the lower right of the room. */
const BUTTONS: Size = { width: 172, height: 44 };
/** Scales are tried in steps this fine. */
const STEP = 0.98;
const STEPS = 250;

interface Row {
  indexes: number[];
  width: number;
  height: number;
}

/** Things in rows from the top down, at the largest scale that has room for all of them. */
export function onShelves(things: readonly Thing[], room: Room): Shelves {
  if (!things.length) return { at: [], box: boxAround([]), high: 0 };
  const widest = Math.max(1, ...things.map((it) => it.box.width));
  const orders = [things.map((_, index) => index), byHeight(things)];
  let scale = room.width / widest;
  for (let step = 0; step < STEPS; step++, scale *= STEP) {
    for (const order of orders) {
      const rows = rowsAt(scale, order, things, room);
      if (room.narrow || fits(rows, room)) return laid(rows, scale, things);
    }
  }
  return laid(rowsAt(scale, orders[0]!, things, room), scale, things);
}

function byHeight(things: readonly Thing[]): number[] {
  return things.map((_, index) => index).sort((a, b) => things[b]!.box.height - things[a]!.box.height || a - b);
}

/** Each thing in the first row that has room for it. */
function rowsAt(scale: number, order: readonly number[], things: readonly Thing[], room: Room): Row[] {
  const rows: Row[] = [];
  for (const index of order) {
    const { box, name } = things[index]!;
    const [width, height] = [Math.max(box.width * scale, name), box.height * scale + ABOVE + BELOW];
    const row = room.narrow ? undefined : rows.find((it) => it.width + BETWEEN + width <= room.width);
    if (!row) rows.push({ indexes: [index], width, height });
    else {
      row.indexes.push(index);
      row.width += BETWEEN + width;
      row.height = Math.max(row.height, height);
    }
  }
  return rows;
}

/** Whether rows that stand in the middle of the room stay in it, and clear of its buttons. */
function fits(rows: readonly Row[], room: Room): boolean {
  const [wide, high] = [widthOf(rows), heightOf(rows)];
  const right = (room.width - wide) / 2 + rows.at(-1)!.width;
  const under = (room.height - high) / 2;
  return wide <= room.width && under >= 0 && (right <= room.width - BUTTONS.width || under >= BUTTONS.height);
}

const widthOf = (rows: readonly Row[]) => Math.max(...rows.map((it) => it.width));
const heightOf = (rows: readonly Row[]) => rows.reduce((sum, it) => sum + it.height, 0);

/** The lower edges of a row are in line, so that the names below them are too. */
function laid(rows: readonly Row[], scale: number, things: readonly Thing[]): Shelves {
  const at: Point[] = [];
  let top = 0;
  for (const row of rows) {
    let x = 0;
    const bottom = top - row.height + BELOW;
    for (const index of row.indexes) {
      const { box, name } = things[index]!;
      at[index] = [x / scale - box.left, bottom / scale - box.bottom];
      x += Math.max(box.width * scale, name) + BETWEEN;
    }
    top -= row.height;
  }
  const high = heightOf(rows);
  return { at, box: { left: 0, bottom: -high / scale, width: widthOf(rows) / scale, height: high / scale }, high };
}
