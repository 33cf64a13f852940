import { expect, it } from 'vitest';
import { matchesWords } from './matches-words.ts';

it('finds every word in any order and case, and everything when nothing is asked', () => {
  expect(matchesWords('writes/paddle/max The largest value', 'LARGEST paddle')).toBe(true);
  expect(matchesWords('writes/paddle/max The largest value', 'paddle light')).toBe(false);
  expect(matchesWords('anything', '')).toBe(true);
  expect(matchesWords('anything', '  any ')).toBe(true);
});
