import { spotsBeside, spotsInside, type Wish } from '@/board/labels';
import { boxAround, boxAt, clearOfRing, type Box } from '@/lib/geometry';
import type { Zone } from '@/lib/wire/Zone';
import { zoneWords } from '@/lib/words';

/** The word of a zone: in it if there is room, else beside it where it covers none of the others. */
export function zoneWish(key: string, zone: Zone, zones: readonly Zone[], always: boolean, clear: (box: Box) => boolean = () => true): Wish {
  return {
    key,
    text: zoneWords[zone.kind],
    onWood: true,
    always,
    *spots(size) {
      yield* spotsInside({ outer: zone.area, openings: [] }, size);
      for (const spot of spotsBeside(boxAround(zone.area), size)) {
        const box = boxAt(spot, size);
        if (always || (clear(box) && zones.every((it) => clearOfRing(it.area, box)))) yield spot;
      }
    },
  };
}
