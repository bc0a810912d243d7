import { boxAround, boxAt, centroidOf, ovalIn } from '@/lib/geometry';
import { Trouble } from '@/lib/problem';
import type { Choices } from '@/lib/wire/Choices';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Job } from '@/lib/wire/Job';
import type { Panel } from '@/lib/wire/Panel';
import type { PartSet } from '@/lib/wire/PartSet';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Ring } from '@/lib/wire/Ring';
import type { Shown } from '@/lib/wire/Shown';
import type { Source } from '@/lib/wire/Source';
import type { StripRun } from '@/lib/wire/StripRun';
import type { Want } from '@/lib/wire/Want';
import type { Option } from '@/lib/words';

/** Where new wants and panels start, in millimetres: common sizes. */
const THICKNESS = 19.05;
const PANEL_LENGTH = 457.2;
const PANEL_THICKNESS = 34.925;
const STRIP_WIDTH = 44.45;
const STRIPS = 6;
const WORTH = 3;

const nextId = (things: readonly { id: number }[]): number => Math.max(0, ...things.map((it) => it.id)) + 1;

export function withNewWant(job: Job, pattern: number): Job {
  const plain = { source: { of: 'pieces' } as const, worth: WORTH, may_mirror: false, underside_shows: false };
  const want: Want = { id: nextId(job.wants), pattern, count: 1, thickness: THICKNESS, ...plain };
  return { ...job, wants: [...job.wants, want] };
}

export function withWant(job: Job, id: number, change: Partial<Want>): Job {
  return { ...job, wants: job.wants.map((it) => (it.id === id ? { ...it, ...change } : it)) };
}

/** Without the want, and without what was decided of its parts. */
export function withoutWant(job: Job, id: number): Job {
  const pins = job.choices.pins.filter((it) => it.part.want !== id);
  const shows = job.choices.shows.filter((it) => it.part.want !== id);
  const sets = job.choices.sets.map((it) => ({ ...it, wants: it.wants.filter((want) => want !== id) }));
  return { ...job, wants: job.wants.filter((it) => it.id !== id), choices: { ...job.choices, pins, shows, sets } };
}

/** With one more set of parts that come from one piece, of nothing yet. */
export function withNewSet(job: Job): Job {
  return { ...job, choices: { ...job.choices, sets: [...job.choices.sets, { wants: [], alike: false }] } };
}

/** Sets have no number of their own; their place in the list is it. A want is in one set at the most. */
export function withSet(job: Job, index: number, change: Partial<PartSet>): Job {
  const others = (it: PartSet) => ({ ...it, wants: it.wants.filter((want) => !change.wants?.includes(want)) });
  const sets = job.choices.sets.map((it, at) => (at === index ? { ...it, ...change } : others(it)));
  return { ...job, choices: { ...job.choices, sets } };
}

export function withoutSet(job: Job, index: number): Job {
  return { ...job, choices: { ...job.choices, sets: job.choices.sets.toSpliced(index, 1) } };
}

export function withNewPanel(job: Job, piece: number): Job {
  const id = nextId(job.panels);
  const runs: StripRun[] = [{ piece, width: STRIP_WIDTH, count: STRIPS }];
  const panel: Panel = { id, name: `Panel ${id}`, length: PANEL_LENGTH, thickness: PANEL_THICKNESS, runs };
  return { ...job, panels: [...job.panels, panel] };
}

export function withPanel(job: Job, id: number, change: (panel: Panel) => Panel): Job {
  return { ...job, panels: job.panels.map((it) => (it.id === id ? change(it) : it)) };
}

/** Without the panel; what was to be sawn from it comes from the pieces again. */
export function withoutPanel(job: Job, id: number): Job {
  const wants = job.wants.map((it): Want => (isFrom(it.source, id) ? { ...it, source: { of: 'pieces' } } : it));
  const choices = withoutFace(job.choices, { of: 'panel', id });
  return { ...job, wants, panels: job.panels.filter((it) => it.id !== id), choices };
}

const isFrom = (source: Source, panel: number): boolean => source.of === 'panel' && source.id === panel;

/** All strips side by side, in millimetres. */
export function panelWidth(panel: Panel): number {
  return panel.runs.reduce((sum, it) => sum + it.width * it.count, 0);
}

/** A source as a choice in a list, and back. */
export function sourceKey(source: Source): string {
  return source.of === 'pieces' ? 'pieces' : `panel-${source.id}`;
}

export function sourceOf(key: string): Source {
  return key === 'pieces' ? { of: 'pieces' } : { of: 'panel', id: Number(key.slice('panel-'.length)) };
}

export function sourceOptions(job: Job): Option[] {
  const panels = job.panels.map((it) => ({ key: sourceKey({ of: 'panel', id: it.id }), word: it.name }));
  return [{ key: 'pieces', word: 'The pieces' }, ...panels];
}

/** The job with a part that is to show a figure, and no longer lies where it was pinned. */
export function withShown(job: Job, shown: Shown): Job {
  const shows = [...job.choices.shows.filter((it) => !samePart(it.part, shown.part)), shown];
  const pins = job.choices.pins.filter((it) => !samePart(it.part, shown.part));
  return { ...job, choices: { ...job.choices, shows, pins } };
}

/** The middle of a part may wander by so much of its narrower side, and still shows the figure. */
const WANDERS = 0.25;

/** A figure around the middle of a part. */
export function shownArea(outline: Ring): Ring {
  const box = boxAround(outline);
  const across = WANDERS * Math.min(box.width, box.height);
  return ovalIn(boxAt(centroidOf(outline), { width: across, height: across }));
}

export function withoutShown(job: Job, part: PartKey): Job {
  return { ...job, choices: { ...job.choices, shows: job.choices.shows.filter((it) => !samePart(it.part, part)) } };
}

/** A number of things; throws a `Trouble` if there cannot be so many. */
export function wholeNumber(number: number, least: number): number {
  if (Number.isInteger(number) && number >= least) return number;
  throw new Trouble({ message: `expected a whole number from ${least} up, found ${number}`, hint: 'write it like 1 or 2' });
}

export const partId = ({ want, copy }: PartKey): string => `${want}.${copy}`;

export function samePart(a: PartKey, b: PartKey): boolean {
  return a.want === b.want && a.copy === b.copy;
}

/** A list with one thing in it or not, in rising order. */
export function toggled<T extends string | number>(list: readonly T[], one: T, yes: boolean): T[] {
  const others = list.filter((it) => it !== one);
  return yes ? [...others, one].sort((a, b) => (a < b ? -1 : 1)) : others;
}

/** With the piece to be sawn or without it, and then without what was decided on it. */
export function withPiece(job: Job, piece: number, yes: boolean): Job {
  const choices = yes ? job.choices : withoutFace(job.choices, { of: 'piece', id: piece });
  return { ...job, pieces: toggled(job.pieces, piece, yes), choices };
}

/** Without the pins on a face, the figures that parts are to show of it, and the maker's own cuts there. */
function withoutFace(choices: Choices, { of, id }: FaceKey): Choices {
  const elsewhere = ({ face }: { face: FaceKey }) => face.of !== of || face.id !== id;
  const { pins, shows, own_cuts } = choices;
  return { ...choices, pins: pins.filter(elsewhere), shows: shows.filter(elsewhere), own_cuts: own_cuts.filter(elsewhere) };
}
