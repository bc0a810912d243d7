import { expect, test } from 'vitest';
import { placePoint, rectangle, unplacePoint } from '@/lib/geometry';
import { reachOf, seenBehind, throughWood, zonesBehind } from '@/rack/bothfaces';
import type { Piece } from '@/lib/wire/Piece';
import type { Place } from '@/lib/wire/Place';
import type { Zone } from '@/lib/wire/Zone';

const square = (left: number, bottom: number) => rectangle({ left, bottom, width: 20, height: 20 });
const knot = (id: number, x: number, y: number, through: boolean): Zone => ({ id, kind: 'knot', area: square(x, y), through, note: '' });

/** A plank 900 by 200, turned over about its length: x goes on, y is turned. */
function plank(near: Zone[], far: Zone[]): Piece {
  const place: Place = { at: [0, 200], turn: 180, mirrored: true };
  return { face: { zones: near, candidates: [] }, far_face: { face: { zones: far, candidates: [] }, lies: { place, miss: 0.5, problem: null }, marks: [] } } as unknown as Piece;
}

test('a point goes through the wood and back', () => {
  const place: Place = { at: [430, 170], turn: 88, mirrored: true };
  const [x, y] = unplacePoint(place, placePoint(place, [12, 34]));
  expect([x, y].map((it) => Math.round(it * 1e6) / 1e6)).toEqual([12, 34]);
  const piece = plank([], []);
  expect(throughWood(piece, 'far')([110, 150]).map(Math.round)).toEqual([110, 50]);
  expect(throughWood(piece, 'near')([110, 50]).map(Math.round)).toEqual([110, 150]);
});

test('a knot over a knot goes through, one by itself is on one face', () => {
  const [one, alone] = [knot(1, 100, 30, true), knot(2, 500, 30, false)];
  const piece = plank([one, alone], [knot(1, 110, 150, true)]);
  expect(reachOf(piece, 'near', one)).toBe('both');
  expect(reachOf(piece, 'near', alone)).toBe('one');
  expect(reachOf(piece, 'far', piece.far_face!.face.zones[0]!)).toBe('both');
  expect(reachOf(piece, 'near', { ...alone, through: true })).toBe('told');
  expect(zonesBehind(piece, 'near')[0]!.area[0]!.map(Math.round)).toEqual([110, 50]);
});

test('what may be a knot on one face lies over what may be one on the other', () => {
  const piece = plank([], []);
  piece.far_face!.face.candidates = [{ id: 4, kind: 'knot', area: square(100, 150), sure: 0.6 }];
  expect(seenBehind(piece, 'near', { kind: 'knot', area: square(95, 45) })).toBe(true);
  expect(seenBehind(piece, 'near', { kind: 'check', area: square(95, 45) })).toBe(false);
  expect(seenBehind(piece, 'near', { kind: 'knot', area: square(130, 45) })).toBe(false);
});

test('of a piece with one face nothing is known of the other', () => {
  const piece = { ...plank([knot(1, 0, 0, true)], []), far_face: null };
  expect(reachOf(piece, 'near', piece.face.zones[0]!)).toBe('unknown');
  expect(zonesBehind(piece, 'near')).toEqual([]);
});
