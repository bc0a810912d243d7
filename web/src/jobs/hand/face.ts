import { Fibres } from '@/jobs/hand/fibres';
import { Lines } from '@/jobs/hand/lines';
import type { HandFace, KnownThing } from '@/jobs/hand/verdict';
import { faceId, type Ground } from '@/jobs/scene';
import { samePart } from '@/jobs/want';
import type { HandRules } from '@/lib/wire/HandRules';
import type { Outline } from '@/lib/wire/Outline';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Placement } from '@/lib/wire/Placement';
import type { StripPlacement } from '@/lib/wire/StripPlacement';

/** What lies on a job's faces. */
export interface Laid {
  placements: readonly Placement[];
  strips: readonly StripPlacement[];
}

/** A face as the hand needs it that lays one part there. */
export function faceFor(part: PartKey, ground: Ground, laid: Laid, rules: HandRules): HandFace {
  return {
    things: [...woodOf(part, ground.outline, rules), ...zonesOf(part, ground, rules), ...partsOf(part, ground, laid, rules), ...stripsOf(part, ground, laid, rules)],
    fibres: fibresOf(ground),
  };
}

/** A panel's strips run along it. */
export function fibresOf(ground: Ground): Fibres {
  return new Fibres(ground.kind === 'piece' ? ground.piece.face.grain : { overall: 0, samples: [] });
}

/** A part with a live edge ends where the wood does: that is left to the shop's word. */
function woodOf({ want }: PartKey, outline: Outline, { edge, live }: HandRules): KnownThing[] {
  if (live.includes(want)) return [];
  return [{ lines: new Lines(outline), within: true, clear: edge, against: { kind: 'edge' } }];
}

/** The zones that this part minds. */
function zonesOf({ want }: PartKey, ground: Ground, { zones }: HandRules): KnownThing[] {
  const minded = zones.filter((it) => faceId(it.face) === ground.key && it.wants.includes(want));
  return minded.map((zone): KnownThing => {
    const lines = new Lines({ outer: zone.area, openings: [] });
    return { lines, within: false, clear: zone.clear, against: { kind: 'zone', zone } };
  });
}

function partsOf(part: PartKey, ground: Ground, { placements }: Laid, { gaps }: HandRules): KnownThing[] {
  const others = placements.filter((it) => faceId(it.face) === ground.key && !samePart(it.part, part));
  const isOf = (a: number, b: number) => (it: HandRules['gaps'][number]) => it.one === a && it.other === b;
  return others.map((it): KnownThing => {
    const gap = gaps.find(isOf(part.want, it.part.want)) ?? gaps.find(isOf(it.part.want, part.want));
    return { lines: new Lines(it.outline), within: false, clear: gap?.clear ?? 0, against: { kind: 'part', part: it.part } };
  });
}

function stripsOf(part: PartKey, ground: Ground, laid: Laid, rules: HandRules): KnownThing[] {
  const here = laid.strips.filter((it) => faceId({ of: 'piece', id: it.piece }) === ground.key);
  const clear = rules.strips.find((it) => it.want === part.want)?.clear ?? 0;
  return here.map(({ strip, outline }): KnownThing => ({ lines: new Lines(outline), within: false, clear, against: { kind: 'strip', strip } }));
}
