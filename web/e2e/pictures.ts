import { readFileSync } from 'node:fs';
import type { Page } from '@playwright/test';
import { slabPicture } from './shop';

/** Where the demo's slab shows its scale sheets, and where as much bare bench: left, top, width, height in pixels. */
const patches = [
  { sheet: [470, 205, 430, 570], bench: [1150, 60] },
  { sheet: [2150, 1515, 520, 710], bench: [1250, 1530] },
] as const;

/** States in a JPEG's file that it is to be turned a quarter to the right to stand upright (Exif 2.32, tag 0x0112 with value 6). */
const quarterTurn = Buffer.from('ffe100224578696600004d4d002a00000008000101120003000000010006000000000000', 'hex');

/** The demo's slab with bench in place of the sheets, as a camera writes it that was held upright: lying, with its turn stated. */
export async function slabWithoutSheets(page: Page): Promise<Buffer> {
  const jpeg = await page.evaluate(
    async ({ source, patches }) => {
      const image = new Image();
      image.src = source;
      await image.decode();
      const canvas = document.createElement('canvas');
      [canvas.width, canvas.height] = [image.naturalHeight, image.naturalWidth];
      const pen = canvas.getContext('2d')!;
      pen.translate(0, canvas.height);
      pen.rotate(-Math.PI / 2);
      pen.drawImage(image, 0, 0);
      for (const { sheet: [x, y, width, height], bench: [left, top] } of patches) {
        pen.drawImage(image, left, top, width, height, x, y, width, height);
      }
      return canvas.toDataURL('image/jpeg', 0.92).split(',')[1]!;
    },
    { source: `data:image/jpeg;base64,${readFileSync(slabPicture, 'base64')}`, patches },
  );
  const bytes = Buffer.from(jpeg, 'base64');
  return Buffer.concat([bytes.subarray(0, 2), quarterTurn, bytes.subarray(2)]);
}

type Place = [number, number];
const truth = JSON.parse(readFileSync(slabPicture.replace('.jpg', '.truth.json'), 'utf8'));

/** How long the demo's slab is, in millimetres. */
export const slabLength: number = truth.slab.length_mm;

/** Where the demo's camera saw a place of the slab's top face: by the pinhole and lens that the picture was rendered with. */
export function seenOnSlab([x, y]: Place): Place {
  const { camera, slab } = truth;
  const from = [x, y, slab.thickness_mm].map((it, axis) => it - camera.pose.centre_mm[axis]);
  const [right, down, ahead] = camera.pose.rotation.map((row: number[]) => row.reduce((sum, it, axis) => sum + it * from[axis]!, 0));
  const [u, v] = [right / ahead, down / ahead];
  const far = u * u + v * v;
  const bend = 1 + camera.k1 * far + camera.k2 * far * far;
  return [camera.focal_px * u * bend + camera.principal_px[0], camera.focal_px * v * bend + camera.principal_px[1]];
}
