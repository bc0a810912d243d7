import type { Size } from '@/board/labels';

/** As `.on-drawing` writes it. */
const FONT = '600 13px Inter, system-ui, sans-serif';
/** A letter's width where nothing can be measured. */
const LETTER = 7.4;
/** The line of text with its halo. */
const HEIGHT = 16;
const HALO = 5;

const widths = new Map<string, number>();
const pen = typeof OffscreenCanvas === 'undefined' ? null : new OffscreenCanvas(1, 1).getContext('2d');
let fonts = $state(0);

if (typeof document !== 'undefined') {
  void document.fonts?.load(FONT).then(() => {
    widths.clear();
    fonts += 1;
  });
}

/** How large a name is on the drawing, in pixels; measured again when the page's own letters have come. */
export function textSize(text: string): Size {
  void fonts;
  return { width: widthOf(text) + HALO, height: HEIGHT };
}

function widthOf(text: string): number {
  const known = widths.get(text);
  if (known !== undefined) return known;
  if (pen) pen.font = FONT;
  const width = pen?.measureText(text).width ?? text.length * LETTER;
  widths.set(text, width);
  return width;
}
