import { describe, expect, test } from 'vitest';
import { board, aPiece, aPlacement } from '@/jobs/examples';
import { aFace, aPart, aStem, at, box, plain, wood, zone } from '@/jobs/hand/examples';
import { faceFor, type Laid } from '@/jobs/hand/face';
import { HandPart } from '@/jobs/hand/part';
import { breachesAt, missing } from '@/jobs/hand/verdict';
import { panelGround, type Ground } from '@/jobs/scene';
import type { Feature } from '@/lib/wire/Feature';
import type { HandRules } from '@/lib/wire/HandRules';
import type { Outline } from '@/lib/wire/Outline';
import type { Piece } from '@/lib/wire/Piece';
import type { ZoneRule } from '@/lib/wire/ZoneRule';
import type { Place } from '@/lib/wire/Place';

const key = { want: 1, copy: 1 };
const plank = aPiece(1, 600, 200);
const rules: HandRules = {
  edge: 4,
  zones: [],
  gaps: [{ one: 1, other: 1, clear: 3 }, { one: 1, other: 2, clear: 6 }],
  strips: [{ want: 1, clear: 2.5 }],
  live: [],
};
const nothing: Laid = { placements: [], strips: [] };

function groundOf(piece: Piece): Ground {
  return { kind: 'piece', piece, key: `piece-${piece.id}`, face: { of: 'piece', id: piece.id }, name: piece.name, outline: piece.face.outline, at: [0, 0] };
}

/** What is amiss with a board of 100 by 40 mm on a plank of 600 by 200. */
function amiss(place: Place, { laid = nothing, piece = plank, features = [] as Feature[], by = rules } = {}) {
  const part = new HandPart(key, { ...board, features });
  return breachesAt(part, faceFor(key, groundOf(piece), laid, by), part.at(place));
}
const kinds = (...told: Parameters<typeof amiss>) => amiss(...told).map((it) => it.against.kind);

describe('the edge of the wood', () => {
  test('is left to the shop’s word where a part may end at it', () => {
    expect(kinds(at(200, -20), { by: { ...rules, live: [1] } })).toEqual([]);
    expect(kinds(at(200, -20), { by: { ...rules, live: [2] } })).toEqual(['edge']);
  });


  test('is kept clear: too near is told with both points', () => {
    const [breach] = amiss(at(200, 2));
    expect(breach).toMatchObject({ against: { kind: 'edge' }, figure: 2, limit: 4 });
    expect([breach!.from[1], breach!.to[1]]).toEqual([2, 0]);
    expect(kinds(at(200, 3.98))).toEqual(['edge']);
  });

  test('is not gone past, at an opening neither', () => {
    expect(amiss(at(200, -7))[0]!.figure).toBeCloseTo(-7);
    const outline: Outline = { outer: plank.face.outline.outer, openings: [box(240, 60, 20, 20)] };
    const piece = { ...plank, face: { ...plank.face, outline } };
    expect(amiss(at(200, 50), { piece })[0]).toMatchObject({ against: { kind: 'edge' }, figure: -10 });
    expect(amiss(at(265, 50), { piece })).toEqual([]);
    expect(kinds(at(262, 50), { piece })).toEqual(['edge']);
  });

  test('is silent from what is kept clear on', () => {
    expect(amiss(at(200, 4))).toEqual([]);
    expect(amiss(at(200, 3.995))).toEqual([]);
    expect(amiss(at(0, 0), { by: { ...rules, edge: 0 } })).toEqual([]);
  });
});

describe('a zone', () => {
  const knot: ZoneRule = { face: { of: 'piece', id: 1 }, kind: 'knot', area: box(310, 60, 10, 10), wants: [1], clear: 5 };
  const knotty = { ...rules, zones: [knot] };

  test('is kept clear of, and not lain over', () => {
    expect(amiss(at(207, 50), { by: knotty })[0]).toMatchObject({ against: { kind: 'zone', zone: { kind: 'knot' } }, figure: 3, limit: 5 });
    expect(amiss(at(250, 50), { by: knotty })[0]!.figure).toBeCloseTo(-20);
  });

  test('is silent from what is kept clear on, and where this want does not mind it', () => {
    expect(amiss(at(205, 50), { by: knotty })).toEqual([]);
    expect(amiss(at(250, 50), { by: { ...rules, zones: [{ ...knot, wants: [2] }] } })).toEqual([]);
    expect(amiss(at(250, 50))).toEqual([]);
    const elsewhere: ZoneRule = { ...knot, face: { of: 'piece', id: 2 } };
    expect(amiss(at(250, 50), { by: { ...rules, zones: [elsewhere] } })).toEqual([]);
  });
});

describe('another part', () => {
  const laid: Laid = { ...nothing, placements: [aPlacement(1, 1, 'piece', 1), aPlacement(1, 2, 'piece', 1, at(300, 50)), aPlacement(2, 1, 'piece', 1, at(300, 120))] };

  test('keeps its gap, which is that of both wants', () => {
    expect(amiss(at(198, 50), { laid })[0]).toMatchObject({ against: { kind: 'part', part: { want: 1, copy: 2 } }, figure: 2, limit: 3 });
    expect(amiss(at(195, 120), { laid })[0]).toMatchObject({ against: { kind: 'part', part: { want: 2, copy: 1 } }, figure: 5, limit: 6 });
    const otherWay = { ...rules, gaps: [rules.gaps[0]!, { one: 2, other: 1, clear: 6 }] };
    expect(kinds(at(195, 120), { laid, by: otherWay })).toEqual(['part']);
    expect(amiss(at(250, 50), { laid })[0]!.figure).toBeLessThan(-15);
  });

  test('is silent with its gap, on another face, and where it is the part itself', () => {
    expect(amiss(at(197, 50), { laid })).toEqual([]);
    const elsewhere: Laid = { ...nothing, placements: laid.placements.map((it) => ({ ...it, face: { of: 'piece', id: 2 } })) };
    expect(amiss(at(250, 50), { laid: elsewhere })).toEqual([]);
    expect(amiss(at(10, 10), { laid })).toEqual([]);
  });
});

describe('a strip', () => {
  const laid: Laid = { ...nothing, strips: [{ strip: { panel: 1, strip: 2 }, piece: 1, outline: plain(box(10, 150, 500, 45)) }] };

  test('keeps its way', () => {
    expect(amiss(at(100, 108), { laid })[0]).toMatchObject({ against: { kind: 'strip', strip: { panel: 1, strip: 2 } }, figure: 2, limit: 2.5 });
  });

  test('is silent with its way, and on another piece', () => {
    expect(amiss(at(100, 107.5), { laid })).toEqual([]);
    expect(amiss(at(100, 120), { laid: { ...laid, strips: laid.strips.map((it) => ({ ...it, piece: 2 })) } })).toEqual([]);
  });
});

describe('a stem', () => {
  const features = [aStem([60, 20], [100, 20], 10)];

  test('turned too far from the grain is told with the place and both directions', () => {
    const [breach] = amiss(at(200, 50, 14), { features });
    expect(breach!.against).toMatchObject({ kind: 'grain', off: { lies: expect.closeTo(14), runs: expect.closeTo(0) } });
    expect([breach!.figure, breach!.limit]).toEqual([expect.closeTo(14), 10]);
  });

  test('is silent within its limit, either way round, and with the grain of its own place', () => {
    expect(amiss(at(200, 50, 10), { features })).toEqual([]);
    expect(amiss(at(300, 90, 172), { features })).toEqual([]);
    const grain = { overall: 0, samples: [{ at: [290, 90] as [number, number], direction: 25, sure: 1 }] };
    const piece = { ...plank, face: { ...plank.face, grain } };
    expect(kinds(at(200, 50, 5), { features, piece })).toEqual(['grain']);
    expect(amiss(at(200, 50, 25), { features, piece })).toEqual([]);
  });

  test('follows the length of a panel', () => {
    const ground = panelGround({ id: 1, name: 'P', length: 400, thickness: 30, runs: [{ piece: 1, width: 40, count: 5 }] });
    const part = new HandPart(key, { ...board, features });
    const face = faceFor(key, ground, nothing, rules);
    expect(breachesAt(part, face, part.at(at(100, 50, 5)))).toEqual([]);
    expect(breachesAt(part, face, part.at(at(100, 50, 20))).map((it) => it.against.kind)).toEqual(['grain']);
  });
});

test('the worst comes first', () => {
  const face = aFace([wood(plain(box(0, 0, 600, 200)), 4), zone(box(250, 20, 10, 10), 4)]);
  const part = aPart(plain(box(0, 0, 100, 40)), [aStem([60, 20], [100, 20], 1)]);
  const all = breachesAt(part, face, part.at(at(200, 1, 3)));
  expect(all.map((it) => it.against.kind)).toEqual(['zone', 'edge', 'grain']);
  expect(all.map(missing)).toEqual([...all.map(missing)].sort((a, b) => b - a));
});
