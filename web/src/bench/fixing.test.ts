import { expect, test } from 'vitest';
import { alike, fixingName, fixingWords, sectionOf, undersideOf } from '@/bench/fixing';
import type { Fixing } from '@/lib/wire/Fixing';

const screw = { number: 8, length: 19.05, shank: 4.17, head: 8.4, counterbore: 10, plug: 9.525, hole: 4.57, slot: null, pilot: 2.56, bite: 13.05 };
const foot: Fixing = {
  part: { want: 1, copy: 0 }, pattern: 1, feature: 3, at: [100, 40], along: 90, holes: [[100, 10], [100, 70]], top: 19,
  held: { is: 'screwed', batten: false, length: 120, width: 22, height: 16, screw },
};

test('a section is as tall as part and foot, and as long as the foot', () => {
  const { box, marks } = sectionOf(foot);
  expect(box).toEqual({ left: -70, bottom: -16, width: 140, height: 35 });
  // Part, foot, and for each of two screws a counterbore, a hole, a pilot and the screw.
  expect(marks).toHaveLength(10);
});

test('the underside is the part turned over', () => {
  const outline = { outer: [[0, 0], [200, 0], [200, 90], [0, 90]] as [number, number][], openings: [] };
  const { box, marks } = undersideOf(outline, [foot]);
  expect(box).toEqual({ left: 0, bottom: -90, width: 200, height: 90 });
  expect(marks).toHaveLength(3);
});

test('the words tell what is left over the tip', () => {
  const words = fixingWords(foot, { system: 'millimetres', fraction: 16 });
  expect(words).toContain('5.95 mm left over the tip');
  expect(words).toContain('2 × No. 8');
});

test('feet that are made alike are told once', () => {
  const other = { ...foot, feature: 4, at: [100, 140] as [number, number], holes: [[100, 110], [100, 170]] as [number, number][] };
  const low = { ...foot, feature: 5, top: 12 };
  expect(alike([foot, other, low]).map(fixingName)).toEqual(['Foot 3, 4', 'Foot 5']);
});
