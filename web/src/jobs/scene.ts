import { textSize } from '@/board/textsize.svelte';
import { onShelves, type Room, type Shelves } from '@/jobs/shelves';
import { outlineBox } from '@/lib/draw';
import { contains, rectangle, type Box } from '@/lib/geometry';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Job } from '@/lib/wire/Job';
import type { Layout } from '@/lib/wire/Layout';
import type { Outline } from '@/lib/wire/Outline';
import type { Panel } from '@/lib/wire/Panel';
import type { Piece } from '@/lib/wire/Piece';
import type { Pin } from '@/lib/wire/Pin';
import type { Point } from '@/lib/wire/Point';
import { isThere } from '@/jobs/sawn';
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

/** Faces with their places, and what they need together. */
export interface Arranged extends Pick<Shelves, 'box' | 'high'> {
  grounds: Ground[];
}

/** A part laid so near to a face, in millimetres, is meant for it. */
const NEAR = 35;

export const faceId = (face: FaceKey): string => `${face.of}-${face.id}`;

/** The faces of a job: the pieces that may be sawn or were sawn for it, then the panels. */
export function groundsOf(job: Job, pieces: readonly Piece[]): Ground[] {
  const stripped = job.panels.flatMap((it) => it.runs.map((run) => run.piece));
  const wood = pieces.filter((it) => isThere(it, job) && (job.pieces.includes(it.id) || stripped.includes(it.id)));
  return [...wood.map(pieceGround), ...job.panels.filter((it) => panelWidth(it) > 0).map(panelGround)];
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

/** Only those faces and the panels; all of them if none is used. */
export function onlyUsed(grounds: readonly Ground[], used: Set<string>): Ground[] {
  return used.size ? grounds.filter((it) => used.has(it.key) || it.kind === 'panel') : [...grounds];
}

/** Faces side by side, the ones in use first, as large as the room allows. */
export function arranged(grounds: readonly Ground[], used: Set<string>, room: Room): Arranged {
  const spare = (it: Ground) => Number(it.kind === 'piece' && !used.has(it.key));
  const order = [...grounds].sort((a, b) => spare(a) - spare(b));
  const things = order.map((it) => ({ box: outlineBox(it.outline), name: textSize(it.name).width }));
  const { at, box, high } = onShelves(things, room);
  return { grounds: order.map((it, index) => ({ ...it, at: at[index]! })), box, high };
}

/** Where a face's box is on the drawing. */
export function placeOfGround(ground: Ground): Box {
  const box = outlineBox(ground.outline);
  return { ...box, left: box.left + ground.at[0], bottom: box.bottom + ground.at[1] };
}

/** The face under a point of the drawing: the one whose wood is there, else the nearest box within reach. */
export function groundAt(grounds: readonly Ground[], at: Point, reach = NEAR): Ground | undefined {
  const near = (ground: Ground) => {
    const { left, bottom, width, height } = placeOfGround(ground);
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
