import { spotsBeside, spotsInside, spotsUnder, type Wish } from '@/board/labels';
import { zoneWish } from '@/board/zonelabels';
import type { JobScene } from '@/jobs/jobscene.svelte';
import { faceId, groundOf, onScene, placeOfGround, type Ground } from '@/jobs/scene';
import { partId, samePart } from '@/jobs/want';
import { boxAround, boxAt, centroidOf, clearOfRing, moved, within, type Box } from '@/lib/geometry';
import type { Outline } from '@/lib/wire/Outline';
import type { Placement } from '@/lib/wire/Placement';
import type { Point } from '@/lib/wire/Point';

/** Pixels for the sign of a pin before a part's name. */
const PIN = 34;

/** The names of a job's drawing in the order of their weight. */
export interface JobWishes {
  first: Wish[];
  /** Told only from near, or when the pointer is there. */
  near: Wish[];
}

/** A part as it lies on the drawing. */
interface Laid {
  ground: Ground;
  placement: Placement;
  outline: Outline;
}

export const zoneKey = (ground: Ground, zone: number): string => `${ground.key} zone ${zone}`;
export const offcutKey = (ground: Ground, index: number): string => `${ground.key} offcut ${index}`;
export const partKey = (placement: Placement): string => `part ${partId(placement.part)}`;

/** What is named on a job's drawing but a part that is being moved: the faces, the parts and strips on them, their zones and offcuts. */
export function jobWishes(scene: JobScene, hovered: string | null): JobWishes {
  const parts = scene.tool.resting.flatMap((it) => laidOn(scene, it));
  const outlines = parts.map((it) => it.outline);
  const laid = parts.map((part) => partWish(scene, part, outlines.filter((it) => it !== part.outline)));
  return {
    first: [...scene.grounds.map(faceWish), ...laid, ...scene.grounds.flatMap((it) => stripWishes(scene, it))],
    near: scene.grounds.flatMap((it) => [...zoneWishes(it, outlines, hovered), ...offcutWishes(scene, it, outlines, hovered)]),
  };
}

/** The name of the part that is being moved, on its middle. */
export function movedWish(scene: JobScene, placement: Placement): Wish[] {
  return laidOn(scene, placement).map((part) => ({ ...partWish(scene, part, []), always: true, spots: () => [centroidOf(part.outline.outer)] }));
}

function laidOn(scene: JobScene, placement: Placement): Laid[] {
  const ground = groundOf(scene.grounds, placement.face);
  return ground ? [{ ground, placement, outline: lifted(ground, placement.outline) }] : [];
}

/** An outline of a face as it lies on the drawing. */
function lifted(ground: Ground, { outer, openings }: Outline): Outline {
  const lift = (ring: Outline['outer']) => moved(ring, ...ground.at);
  return { outer: lift(outer), openings: openings.map(lift) };
}

const clearOf = (outlines: readonly Outline[]) => (box: Box) => outlines.every((it) => clearOfRing(it.outer, box));

function faceWish(ground: Ground): Wish {
  return { key: ground.key, text: ground.name, onWood: false, always: true, spots: (size) => spotsUnder(placeOfGround(ground), size) };
}

/** In the part; beside it where it is too small. The part that is in hand or told of always has its name. */
function partWish(scene: JobScene, { ground, placement, outline }: Laid, others: readonly Outline[]): Wish {
  const inHand = scene.tool.part !== null && samePart(scene.tool.part, placement.part);
  const [clear, whole] = [clearOf(others), placeOfGround(ground)];
  const always = inHand || scene.lit.parts.includes(partId(placement.part));
  return {
    key: partKey(placement),
    text: scene.desk.partName(placement.part),
    onWood: true,
    always,
    sign: placement.pinned ? PIN : 0,
    *spots(size) {
      yield* spotsInside(outline, size);
      const middle = centroidOf(outline.outer);
      const free = (spot: Point) => clear(boxAt(spot, size));
      yield* spotsBeside(boxAround(outline.outer), size).filter((it) => free(it) && within(boxAt(it, size), whole));
      if (free(middle)) yield middle;
      if (always) yield middle;
    },
  };
}

/** The panel's name and the strip's number, or the number alone where there is no room. */
function stripWishes(scene: JobScene, ground: Ground): Wish[] {
  const strips = (scene.desk.layout?.strips ?? []).filter((it) => faceId({ of: 'piece', id: it.piece }) === ground.key);
  return strips.map(({ strip, outline }): Wish => {
    const panel = scene.desk.job?.panels.find((it) => it.id === strip.panel)?.name ?? 'Panel';
    const ring = lifted(ground, outline);
    return {
      key: `strip ${strip.panel}.${strip.strip}`,
      text: `${panel} ${strip.strip}`,
      brief: String(strip.strip),
      onWood: true,
      spots: (size) => spotsInside(ring, size),
    };
  });
}

function zoneWishes(ground: Ground, parts: readonly Outline[], hovered: string | null): Wish[] {
  if (ground.kind !== 'piece') return [];
  const zones = ground.piece.face.zones.map((it) => ({ ...it, area: it.area.map((at) => onScene(ground, at)) }));
  const [clear, whole] = [clearOf(parts), placeOfGround(ground)];
  return zones.map((it) => {
    const key = zoneKey(ground, it.id);
    return zoneWish(key, it, zones, key === hovered, (box) => clear(box) && within(box, whole));
  });
}

function offcutWishes(scene: JobScene, ground: Ground, parts: readonly Outline[], hovered: string | null): Wish[] {
  const offcuts = (scene.desk.layout?.offcuts ?? []).filter((it) => faceId(it.face) === ground.key);
  const clear = clearOf(parts);
  return offcuts.map((it, index): Wish => {
    const [key, outline] = [offcutKey(ground, index), lifted(ground, it.outline)];
    return {
      key,
      text: 'Offcut',
      onWood: true,
      always: key === hovered,
      *spots(size) {
        for (const spot of spotsInside(outline, size)) if (clear(boxAt(spot, size))) yield spot;
        if (key === hovered) yield centroidOf(outline.outer);
      },
    };
  });
}
