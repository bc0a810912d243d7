import { describe, expect, test } from 'vitest';
import cases from '@cases/lengths.json';
import { parseLength, showFineLength, showLength } from '@/lib/measure';
import { readQuantity, showQuantity, wayOf } from '@/lib/quantity';
import type { System } from '@/lib/wire/System';

describe('lengths, on the cases shared with the measure crate', () => {
  test.each(cases.read)('reads $text', ({ text, bare, mm }) => {
    if (mm === null) expect(() => parseLength(text, bare as System)).toThrow(/expected a length|longer than/);
    else expect(parseLength(text, bare as System)).toBeCloseTo(mm, 9);
  });

  test.each(cases.shown)('shows $mm mm as $shown', ({ mm, system, fraction, shown }) => {
    expect(showLength(mm, { system: system as System, fraction })).toBe(shown);
  });

  test('fine lengths keep hundredths', () => {
    expect(showFineLength(1.041, { system: 'millimetres', fraction: 16 })).toBe('1.04 mm');
    expect(showFineLength(1.041, { system: 'inches', fraction: 16 })).toBe('0.041 in');
  });
});

describe('other quantities', () => {
  test('a temperature goes to Fahrenheit and back (water boils at 212 °F)', () => {
    const way = wayOf('temperature', 'inches');
    expect(showQuantity(100, way)).toBe('212');
    expect(readQuantity('212 °F', way)).toBeCloseTo(100, 9);
  });

  test('a pound of force is 4.448 N (NIST SP 811, B.8)', () => {
    expect(readQuantity('1', wayOf('force', 'inches'))).toBeCloseTo(4.448222, 6);
  });

  test('nonsense says what was expected', () => {
    expect(() => readQuantity('warm', wayOf('temperature', 'millimetres'))).toThrow('expected a number in °C');
  });
});
