import { expect, test } from 'vitest';
import { axisMarks, dayOf } from '@/finish/days';

test('the first coat goes on on the first day', () => {
  expect([0, 1439, 1440, 10080].map(dayOf)).toEqual([1, 1, 2, 8]);
});

test('the axis counts days, or hours where all is over within one', () => {
  expect(axisMarks(4 * 1440, 8).map((it) => it.word)).toEqual(['day 1', 'day 2', 'day 3', 'day 4', 'day 5']);
  expect(axisMarks(30 * 1440, 8).map((it) => it.word)).toEqual(['day 1', 'day 8', 'day 15', 'day 22', 'day 29']);
  expect(axisMarks(800, 6).map((it) => it.word)).toEqual(['0 h', '3 h', '6 h', '9 h', '12 h']);
  expect(axisMarks(0, 4)).toEqual([{ at: 0, word: '0 h' }]);
});
