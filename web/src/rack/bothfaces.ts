import { awayFromRing, contains, placePoint, unplacePoint } from '@/lib/geometry';
import type { Candidate } from '@/lib/wire/Candidate';
import type { Piece } from '@/lib/wire/Piece';
import type { Point } from '@/lib/wire/Point';
import type { Ring } from '@/lib/wire/Ring';
import type { Side } from '@/lib/wire/Side';
import type { Zone } from '@/lib/wire/Zone';

/** As the shop tells one fault from two: nearer than the faces fit, in millimetres, but not finer or coarser than this. */
const [DRAWN, FARTHEST] = [1, 5];

export function otherSide(side: Side): Side {
  return side === 'near' ? 'far' : 'near';
}

/** Where a point of one face lies on the other, as seen through the wood. */
export function throughWood(piece: Piece, from: Side): (at: Point) => Point {
  const place = piece.far_face?.lies.place;
  if (!place) return (at) => at;
  return from === 'far' ? (at) => placePoint(place, at) : (at) => unplacePoint(place, at);
}

/** The zones of the other face, where they lie under this one. */
export function zonesBehind(piece: Piece, side: Side): Zone[] {
  const other = otherSide(side);
  const zones = (other === 'far' ? piece.far_face?.face.zones : piece.face.zones) ?? [];
  const through = throughWood(piece, other);
  return piece.far_face ? zones.map((it) => ({ ...it, area: it.area.map(through) })) : [];
}

/** Whether the other face shows, or may show, the same kind of fault under this one. */
export function seenBehind(piece: Piece, side: Side, { kind, area }: Pick<Candidate, 'kind' | 'area'>): boolean {
  const other = otherSide(side) === 'far' ? piece.far_face?.face : piece.face;
  if (!piece.far_face || !other) return false;
  const near = Math.min(FARTHEST, Math.max(DRAWN, piece.far_face.lies.miss));
  const through = throughWood(piece, otherSide(side));
  const alike = [...other.zones, ...other.candidates].filter((it) => it.kind === kind);
  return alike.some((it) => meet(it.area.map(through), area, near));
}

/** How far a zone is known to reach: seen on both faces, through as told, or on this face only. */
export type Reach = 'both' | 'told' | 'one' | 'unknown';

export function reachOf(piece: Piece, side: Side, zone: Zone): Reach {
  if (!piece.far_face) return 'unknown';
  if (!zone.through) return 'one';
  return seenBehind(piece, side, zone) ? 'both' : 'told';
}

/** Whether two rings lie over each other, or come as near as this. */
function meet(one: Ring, other: Ring, near: number): boolean {
  const touches = (a: Ring, b: Ring) => a.some((at) => contains(b, at) || awayFromRing(at, b) <= near);
  return touches(one, other) || touches(other, one);
}
