import { outlineBox } from '@/lib/draw';
import { boxAroundAll, contains, rectangle, type Box } from '@/lib/geometry';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Job } from '@/lib/wire/Job';
import type { Layout } from '@/lib/wire/Layout';
import type { Outline } from '@/lib/wire/Outline';
import type { Panel } from '@/lib/wire/Panel';
import type { Piece } from '@/lib/wire/Piece';
import type { Pin } from '@/lib/wire/Pin';
import type { Point } from '@/lib/wire/Point';
import { panelWidth } from '@/jobs/want';

/** A face that parts lie on, and where it stands on the one drawing of the job. */
export type Ground = {
  key: string;
  face: FaceKey;
  name: string;
  outline: Outline;
  /** Where the face's own origin is on the drawing. */
  at: Point;
} & ({ kind: 'piece'; piece: Piece } | { kind: 'panel'; panel: Panel });

/** Room between two faces, for a name and the hand; more where the drawing is small. */
const APART = 70;
const APART_SMALL = 150;
/** How much wider than high the drawing is best. */
const SHAPE = 1.7;

export const faceId = (face: FaceKey): string => `${face.of}-${face.id}`;

/** The faces of a job side by side: the pieces that may be sawn, then the panels. */
export function groundsOf(job: Job, pieces: readonly Piece[], shape = SHAPE): Ground[] {
  const stripped = job.panels.flatMap((it) => it.runs.map((run) => run.piece));
  const wood = pieces.filter((it) => job.pieces.includes(it.id) || stripped.includes(it.id));
  const grounds = [...wood.map(pieceGround), ...job.panels.filter((it) => panelWidth(it) > 0).map(panelGround)];
  return arranged(grounds, shape);
}

function pieceGround(piece: Piece): Ground {
  const face: FaceKey = { of: 'piece', id: piece.id };
  return { kind: 'piece', piece, key: faceId(face), face, name: piece.name, outline: piece.face.outline, at: [0, 0] };
}

export function panelGround(panel: Panel): Ground {
  const face: FaceKey = { of: 'panel', id: panel.id };
  const outer = rectangle({ left: 0, bottom: 0, width: panel.length, height: panelWidth(panel) });
  return { kind: 'panel', panel, key: faceId(face), face, name: panel.name, outline: { outer, openings: [] }, at: [0, 0] };
}

/** The faces that parts, strips or pins lie on, and every panel. */
export function usedFaces(layout: Layout | null, pins: readonly Pin[]): Set<string> {
  return new Set([
    ...(layout?.placements ?? []).map((it) => faceId(it.face)),
    ...(layout?.strips ?? []).map((it) => faceId({ of: 'piece', id: it.piece })),
    ...pins.map((it) => faceId(it.face)),
  ]);
}

/** Only those faces and the panels, put closer together; all of them if none is used. */
export function onlyUsed(grounds: readonly Ground[], used: Set<string>, shape = SHAPE): Ground[] {
  if (!used.size) return [...grounds];
  return arranged(grounds.filter((it) => used.has(it.key) || it.kind === 'panel'), shape);
}

/** Rows from the top down, as wide as shows all of them largest. */
function arranged(grounds: readonly Ground[], shape: number): Ground[] {
  const boxes = grounds.map((it) => outlineBox(it.outline));
  const longest = Math.max(0, ...boxes.map((it) => it.width));
  const ways = [1, 1.25, 1.5, 2, 2.5, 3, 4].map((times) => inRows(boxes, longest * times, shape < 1 ? APART_SMALL : APART));
  const room = (way: Point[]) => {
    const all = boxAroundAll(boxes.map((box, index) => atPlace(box, way[index]!)));
    return Math.max(all.width / shape, all.height);
  };
  const best = ways.reduce((a, b) => (room(b) < room(a) ? b : a));
  return grounds.map((it, index) => ({ ...it, at: best[index]! }));
}

function inRows(boxes: readonly Box[], widest: number, apart: number): Point[] {
  let [x, top, high] = [0, 0, 0];
  return boxes.map((box) => {
    if (x > 0 && x + box.width > widest) [x, top, high] = [0, top - high - apart, 0];
    const at: Point = [x - box.left, top - box.height - box.bottom];
    x += box.width + apart;
    high = Math.max(high, box.height);
    return at;
  });
}

function atPlace(box: Box, at: Point): Box {
  return { ...box, left: box.left + at[0], bottom: box.bottom + at[1] };
}

/** The box of the whole drawing. */
export function sceneBox(grounds: readonly Ground[]): Box {
  return boxAroundAll(grounds.map((it) => atPlace(outlineBox(it.outline), it.at)));
}

/** The face under a point of the drawing: the one whose wood is there, else the nearest box within reach. */
export function groundAt(grounds: readonly Ground[], at: Point, reach = APART / 2): Ground | undefined {
  const near = (ground: Ground) => {
    const { left, bottom, width, height } = atPlace(outlineBox(ground.outline), ground.at);
    return Math.hypot(Math.max(left - at[0], 0, at[0] - left - width), Math.max(bottom - at[1], 0, at[1] - bottom - height));
  };
  const on = grounds.find((it) => contains(it.outline.outer, onFace(it, at)));
  return on ?? [...grounds].sort((a, b) => near(a) - near(b)).find((it) => near(it) < reach);
}

export function groundOf(grounds: readonly Ground[], face: FaceKey): Ground | undefined {
  return grounds.find((it) => it.key === faceId(face));
}

/** A point of the drawing as the face itself counts. */
export function onFace(ground: Ground, [x, y]: Point): Point {
  return [x - ground.at[0], y - ground.at[1]];
}

/** A point of a face as it lies on the drawing. */
export function onScene(ground: Ground, [x, y]: Point): Point {
  return [x + ground.at[0], y + ground.at[1]];
}
