import { arrowStep, type Tool } from '@/board/tool';
import { boxAround, middleOf } from '@/lib/geometry';
import type { FaceEditor } from '@/rack/face.svelte';
import type { Answer } from '@/lib/wire/Answer';
import type { Candidate } from '@/lib/wire/Candidate';
import type { ZoneKind } from '@/lib/wire/ZoneKind';
import { counted, zoneWords } from '@/lib/words';

/** What the keys do with a candidate in hand. */
export const DOUBT_KEYS = 'Arrow keys go to the next, Y says yes, N says no, Escape lets go';

/** The faults that a photograph may show on a face, answered one after the other. */
export class Doubts {
  /** What came of the last answer, for those who hear the page. */
  told = $state('');
  /** Whether the maker has begun to answer: the place stays then, to say that all is answered. */
  begun = $state(false);

  #kinds = $state.raw<Record<string, ZoneKind>>({});

  /** Keys and touches on the board while one is in hand. */
  readonly tool: Tool = {
    tap: (at, reach) => this.editor.chooseAt(at, reach),
    key: (event) => this.key(event),
  };

  constructor(private readonly editor: FaceEditor) {}

  /** From the left to the right, as a hand goes along the wood. */
  get all(): Candidate[] {
    const left = (it: Candidate) => middleOf(boxAround(it.area))[0];
    return [...(this.editor.face?.candidates ?? [])].sort((a, b) => left(a) - left(b));
  }

  /** What the maker takes it for; what it seemed to be, if nothing was said. */
  kindOf(it: Candidate): ZoneKind {
    return this.#kinds[this.#key(it.id)] ?? it.kind;
  }

  setKind(id: number, kind: ZoneKind): void {
    this.#kinds = { ...this.#kinds, [this.#key(id)]: kind };
  }

  /** The one so many after the one in hand, round and round. */
  step(by: number): void {
    const all = this.all;
    const index = all.findIndex((it) => it.id === this.editor.chosen);
    const next = index < 0 ? 0 : (index + by + all.length) % all.length;
    this.editor.chosen = all[next]?.id ?? null;
  }

  /** Says what it is, or that it is none, and takes the next one in hand. */
  async answer(it: Candidate, is: ZoneKind | null): Promise<void> {
    const index = this.all.findIndex((one) => one.id === it.id);
    const now = is ? `${zoneWords[is]} marked` : `No ${zoneWords[it.kind].toLowerCase()} there`;
    if (!(await this.#send([{ candidate: it.id, is }], now))) return;
    const left = this.all;
    this.editor.chosen = left[index % Math.max(1, left.length)]?.id ?? null;
  }

  /** Says of all that are left what they are taken for, or that none of them is a fault. */
  async answerAll(are: boolean): Promise<void> {
    const all = this.all;
    const now = are ? `${counted(all.length, 'zone')} marked` : `None of ${all.length} was a fault`;
    await this.#send(all.map((it) => ({ candidate: it.id, is: are ? this.kindOf(it) : null })), now);
  }

  async #send(answers: Omit<Answer, 'face'>[], now: string): Promise<boolean> {
    if (this.editor.deed.busy) return false;
    this.begun = true;
    await this.editor.answer(answers);
    if (this.editor.deed.problem) return false;
    const left = this.all.length;
    this.told = `${now}, ${left ? `${counted(left, 'question')} left` : 'all answered'}`;
    return true;
  }

  /** `true` if the key was an answer or a step. */
  key(event: KeyboardEvent): boolean {
    const it = this.editor.candidate;
    const step = arrowStep(event, 1, 1);
    if (event.ctrlKey || event.metaKey || event.altKey || !it) return false;
    if (step) this.step(step[0] || -step[1]);
    else if (event.key === 'y' || event.key === 'Y') void this.answer(it, this.kindOf(it));
    else if (event.key === 'n' || event.key === 'N') void this.answer(it, null);
    else if (event.key === 'Escape') this.editor.chosen = null;
    else return false;
    return true;
  }

  #key(id: number): string {
    return `${this.editor.side} ${id}`;
  }
}
