import { samePart } from '@/jobs/want';
import { boxAround, middleOf, placeOutline, placePoint, turnedAbout } from '@/lib/geometry';
import type { FaceKey } from '@/lib/wire/FaceKey';
import type { Job } from '@/lib/wire/Job';
import type { Outline } from '@/lib/wire/Outline';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Pattern } from '@/lib/wire/Pattern';
import type { Pin } from '@/lib/wire/Pin';
import type { Place } from '@/lib/wire/Place';
import type { Placement } from '@/lib/wire/Placement';

/** `[` and `]` turn a part by this much, in degrees. */
export const TURN = 5;

/** The job with this part pinned here. */
export function withPin(job: Job, pin: Pin): Job {
  const pins = [...job.choices.pins.filter((it) => !samePart(it.part, pin.part)), pin];
  return { ...job, choices: { ...job.choices, pins } };
}

export function withoutPin(job: Job, part: PartKey): Job {
  return { ...job, choices: { ...job.choices, pins: job.choices.pins.filter((it) => !samePart(it.part, part)) } };
}

/** Parts as they lie by the plan, or by the pins that were set since. */
export function placementsNow(planned: readonly Placement[], job: Job, patternOf: (part: PartKey) => Pattern | undefined): Placement[] {
  const wanted = (part: PartKey) => part.copy <= (job.wants.find((it) => it.id === part.want)?.count ?? 0);
  const pins = job.choices.pins.filter((it) => wanted(it.part));
  const pinOf = (part: PartKey) => pins.find((it) => samePart(it.part, part));
  const kept = planned.filter((it) => wanted(it.part)).map((it) => pinned(it, pinOf(it.part), patternOf(it.part)));
  const added = pins.filter((pin) => !planned.some((it) => samePart(it.part, pin.part)));
  const laid = added.flatMap((pin) => {
    const pattern = patternOf(pin.part);
    return pattern ? [laidBy(pin, pattern)] : [];
  });
  return [...kept, ...laid];
}

function pinned(planned: Placement, pin: Pin | undefined, pattern: Pattern | undefined): Placement {
  if (!pin) return { ...planned, pinned: false };
  return pattern ? laidBy(pin, pattern) : { ...planned, pinned: true };
}

export function laidBy(pin: Pin, pattern: Pattern): Placement {
  return { ...pin, outline: placeOutline(pin.place, pattern.outline), pinned: true };
}

/** Where a part goes first that has no place yet: its middle on the middle of the face. */
export function middlePin(part: PartKey, face: FaceKey, ground: Outline, pattern: Pattern): Pin {
  const to = middleOf(boxAround(ground.outer));
  const own = middleOf(boxAround(pattern.outline.outer));
  return { part, face, place: { at: [to[0] - own[0], to[1] - own[1]], turn: 0, mirrored: false } };
}

export function shifted(place: Place, dx: number, dy: number): Place {
  return { ...place, at: [place.at[0] + dx, place.at[1] + dy] };
}

/** Turned or mirrored about the middle of the part. */
export function turned(place: Place, pattern: Pattern, by: number, mirror = false): Place {
  return turnedAbout(place, placePoint(place, middleOf(boxAround(pattern.outline.outer))), by, mirror);
}

/** A place in tenths of a millimetre: finer than a hand can lay a template. */
export function tidyPlace(place: Place): Place {
  const [x, y] = place.at;
  return { ...place, at: [rounded(x, 10), rounded(y, 10)] };
}

/** A place in thousandths of a millimetre and of a degree, as it is kept: a contact is lost in little more. */
export function finePlace(place: Place): Place {
  const [x, y] = place.at;
  return { ...place, at: [rounded(x, 1000), rounded(y, 1000)], turn: rounded(place.turn, 1000) };
}

function rounded(it: number, parts: number): number {
  return Math.round(it * parts) / parts || 0;
}
