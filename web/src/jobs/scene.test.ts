import { describe, expect, test } from 'vitest';
import { arranged, faceId, groundAt, groundsOf, onFace, onlyUsed, onScene, placeOfGround, usedFaces } from '@/jobs/scene';
import { aJob, aPiece, aPlacement } from '@/jobs/examples';

const pieces = [aPiece(1, 1200, 300), aPiece(2, 600, 100), aPiece(3, 500, 100), aPiece(9, 900, 900)];
const room = { width: 800, height: 420, narrow: false };
const job = { ...aJob(), pieces: [1, 2, 3] };

describe('the faces of a job', () => {
  test('are its own pieces, those its panels are ripped from, and the panels', () => {
    const panel = { id: 1, name: 'P', length: 400, thickness: 30, runs: [{ piece: 9, width: 40, count: 5 }] };
    const grounds = groundsOf({ ...job, pieces: [2], panels: [panel] }, pieces);
    expect(grounds.map((it) => it.key)).toEqual(['piece-2', 'piece-9', 'panel-1']);
    expect(grounds[2]!.outline.outer).toEqual([[0, 0], [400, 0], [400, 200], [0, 200]]);
  });

  test('are what was sawn for it, and not what was sawn for another job', () => {
    const sawn = (id: number, by: number) => ({ ...aPiece(id, 600, 100), sawn: { job: by, on: '2026-11-25', leftovers: [] } });
    const grounds = groundsOf(job, [sawn(1, job.id), sawn(2, job.id + 1), aPiece(3, 500, 100)]);
    expect(grounds.map((it) => it.key)).toEqual(['piece-1', 'piece-3']);
  });

  test('do not cover each other', () => {
    const { grounds } = arranged(groundsOf(job, pieces), new Set(), room);
    for (const a of grounds) {
      for (const b of grounds) {
        if (a === b) continue;
        const [one, two] = [placeOfGround(a), placeOfGround(b)];
        const apart =
          one.left + one.width < two.left || two.left + two.width < one.left ||
          one.bottom + one.height < two.bottom || two.bottom + two.height < one.bottom;
        expect(apart, `${a.key} and ${b.key}`).toBe(true);
      }
    }
  });

  test('without use are left away, but never all of them', () => {
    const grounds = groundsOf(job, pieces);
    const layout = { placements: [aPlacement(1, 1, 'piece', 2)], strips: [], unplaced: [], unplaced_strips: [], offcuts: [], used: [] };
    expect(onlyUsed(grounds, usedFaces(layout, [])).map((it) => it.key)).toEqual(['piece-2']);
    expect(onlyUsed(grounds, usedFaces(null, []))).toHaveLength(3);
    const pin = { part: { want: 1, copy: 2 }, face: { of: 'piece' as const, id: 3 }, place: { at: [0, 0] as [number, number], turn: 0, mirrored: false } };
    expect(onlyUsed(grounds, usedFaces(layout, [pin])).map((it) => it.key)).toEqual(['piece-2', 'piece-3']);
  });

  test('stand with the ones in use first', () => {
    const { grounds } = arranged(groundsOf(job, pieces), new Set(['piece-3']), room);
    expect(grounds.map((it) => it.key)).toEqual(['piece-3', 'piece-1', 'piece-2']);
  });

  test('find a point of the drawing, and count from their own corner', () => {
    const { grounds } = arranged(groundsOf(job, pieces), new Set(), room);
    for (const ground of grounds) {
      const at = onScene(ground, [50, 40]);
      expect(groundAt(grounds, at)?.key).toBe(faceId(ground.face));
      expect(onFace(ground, at)).toEqual([50, 40]);
    }
    expect(groundAt(grounds, [-5000, 0])).toBeUndefined();
  });
});
