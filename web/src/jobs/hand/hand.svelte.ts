import type { JobDesk } from '@/jobs/desk.svelte';
import { faceFor, fibresOf, type Laid } from '@/jobs/hand/face';
import { HandPart } from '@/jobs/hand/part';
import { pushed } from '@/jobs/hand/push';
import { snapped } from '@/jobs/hand/snap';
import { heldToGrain, withGrain } from '@/jobs/hand/stem';
import { breachesAt, type Breach, type HandFace } from '@/jobs/hand/verdict';
import { finePlace } from '@/jobs/pins';
import { groundOf, type Ground } from '@/jobs/scene';
import { Latest } from '@/lib/latest.svelte';
import type { HandRules } from '@/lib/wire/HandRules';
import type { PartKey } from '@/lib/wire/PartKey';
import type { Pin } from '@/lib/wire/Pin';
import type { Place } from '@/lib/wire/Place';
import type { Placement } from '@/lib/wire/Placement';
import type { Point } from '@/lib/wire/Point';
import type { Problem } from '@/lib/wire/Problem';
import type { Verdict } from '@/lib/wire/Verdict';

/** What the hand works on: the faces, the parts as they are kept, the one in hand, and where it is held. */
export interface Held {
  grounds: () => readonly Ground[];
  kept: () => readonly Placement[];
  part: () => PartKey | null;
  pin: () => Pin | null;
}

/** What is known of a part in hand while it moves: whether it may lie there, and what it is drawn to. */
export class Hand {
  /** Whether a part is drawn to contact and to the grain. */
  snaps = $state(true);
  /** What came of the last push, if nothing did. */
  remark = $state('');

  #rules = $state.raw<HandRules | null>(null);
  readonly #reading = new Latest<HandRules>();
  readonly #judging = new Latest<Verdict>();
  #judged = $state.raw<{ pin: Pin; verdict: Verdict } | null>(null);
  #next: Pin | null = null;
  #asking = false;

  constructor(
    private readonly desk: JobDesk,
    private readonly scene: Held,
  ) {}

  readonly #part = $derived.by((): HandPart | null => {
    const part = this.scene.part();
    const pattern = part && this.desk.patternOf(part);
    return part && pattern ? new HandPart(part, pattern) : null;
  });
  readonly #laid = $derived.by((): Laid => {
    return { placements: this.scene.kept(), strips: this.desk.layout?.strips ?? [] };
  });
  /** The faces as this part finds them, each made ready when it first comes there. */
  readonly #faces = $derived.by(() => {
    const [part, rules, laid] = [this.#part, this.#rules, this.#laid];
    const ready = new Map<string, HandFace>();
    return (ground: Ground): HandFace | null => {
      if (!part || !rules) return null;
      const face = ready.get(ground.key) ?? faceFor(part.key, ground, laid, rules);
      ready.set(ground.key, face);
      return face;
    };
  });

  /** Why the part may not lie where it is held, as near as the page can tell; `null` if it cannot. */
  readonly breaches = $derived.by((): Breach[] | null => {
    const pin = this.scene.pin();
    const [part, face] = [this.#part, pin && this.#faceOf(pin)];
    return pin && part && face ? breachesAt(part, face, part.at(pin.place)) : null;
  });

  /** What the shop says of the part where it is held; `null` until it has said so. */
  readonly verdict = $derived.by((): Verdict | null => {
    const pin = this.scene.pin();
    return pin && this.#judged && isSame(pin, this.#judged.pin) ? this.#judged.verdict : null;
  });

  /** The other parts that the shop's word is about. */
  readonly concerned = $derived.by((): PartKey[] => this.verdict?.faults.flatMap((it) => it.parts) ?? []);

  /** Whether the part may lie where it is held; `null` if nobody can tell yet. */
  get may(): boolean | null {
    if (this.verdict) return !this.verdict.faults.length;
    return this.breaches && !this.breaches.length;
  }

  /** Why nothing is known of where parts may lie. */
  get problem(): Problem | null {
    return this.#rules ? null : this.#reading.problem;
  }

  #faceOf(pin: Pin): HandFace | null {
    const ground = groundOf(this.scene.grounds(), pin.face);
    return ground ? this.#faces(ground) : null;
  }

  /** Reads the figures that the near rules go by; old ones are better than none. */
  async readRules(): Promise<void> {
    const job = this.desk.job;
    if (!job) return;
    await this.#reading.ask(`/api/jobs/${job.id}/hand`);
    this.#rules = this.#reading.value ?? this.#rules;
  }

  /** Asks the shop about a place; one question at a time, and of those that come meanwhile the last. */
  async judge(pin: Pin): Promise<void> {
    this.#next = pin;
    const job = this.desk.job;
    if (this.#asking || !job) return;
    this.#asking = true;
    while (this.#next) {
      const asked: Pin = { ...this.#next, place: finePlace(this.#next.place) };
      this.#next = null;
      await this.#judging.ask(`/api/jobs/${job.id}/verdict`, asked);
      const verdict = this.#judging.value;
      this.#judged = verdict && { pin: asked, verdict };
    }
    this.#asking = false;
  }

  /** Drawn to contact, no farther than `reach` millimetres. */
  drawn(pin: Pin, reach: number): Pin {
    return this.#changed(pin, (part, face) => (this.snaps ? snapped(part, face, pin.place, reach) : pin.place));
  }

  /** Pushed one way until it touches. */
  pushed(pin: Pin, way: Point): Pin {
    return this.#changed(pin, (part, face) => {
      const to = pushed(part, face, pin.place, way);
      this.remark = to ? '' : 'No place that way where it may lie';
      return to ?? pin.place;
    });
  }

  /** Turned so that it runs with the grain; `nearly`, only if it nearly does. */
  withGrain(pin: Pin, nearly = false): Pin {
    const ground = groundOf(this.scene.grounds(), pin.face);
    const part = this.#part;
    if (!ground || !part || (nearly && !this.snaps)) return pin;
    const turn = nearly ? heldToGrain : withGrain;
    return { ...pin, place: turn(part, pin.place, this.#faces(ground)?.fibres ?? fibresOf(ground)) };
  }

  #changed(pin: Pin, change: (part: HandPart, face: HandFace) => Place): Pin {
    const [part, face] = [this.#part, this.#faceOf(pin)];
    return part && face ? { ...pin, place: change(part, face) } : pin;
  }
}

/** Whether two pins keep a part at one place. */
function isSame(one: Pin, other: Pin): boolean {
  return JSON.stringify([one.face, finePlace(one.place)]) === JSON.stringify([other.face, finePlace(other.place)]);
}
