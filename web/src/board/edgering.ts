import { RingTool } from '@/board/ringtool.svelte';

/** Moves the corners of a line that stays where it is as a whole: wood does not slide under its picture. */
export class EdgeRing extends RingTool {
  override readonly keys =
    'Full stop and comma choose a corner, arrow keys move it, Shift moves a little, Delete takes it out, Escape leaves';

  protected override get slides(): boolean {
    return false;
  }
}
