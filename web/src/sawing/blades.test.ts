import { expect, test } from 'vitest';
import { bladeWords } from '@/sawing/blades';

test('a blade is called by its width and its teeth, in the maker’s own units', () => {
  expect(bladeWords({ width: 9.525, teeth_per_inch: 4 }, { system: 'inches', fraction: 16 })).toBe('3/8 in wide, 4 teeth in an inch');
  expect(bladeWords({ width: 6, teeth_per_inch: 6.5 }, { system: 'millimetres', fraction: 16 })).toBe('6 mm wide, 6.5 teeth in an inch');
});
