import { describe, expect, it } from 'vitest';
import { Claims } from './claims.ts';

describe('claims', () => {
  it('pass when all hold, and tell what was expected and what was seen', () => {
    const claims = new Claims();
    claims.claim(true, 'the board answers');
    claims.observe(true, '4 Hz (90 01)', '4 Hz (90 01)');
    claims.claim(true, 'the board answers');
    expect(claims.verdict()).toEqual({
      verdict: 'passed',
      expected: 'the board answers; 4 Hz (90 01)',
      seen: '4 Hz (90 01)',
      bug: false,
    });
  });

  it('fail with the first that does not hold, whatever comes after', () => {
    const claims = new Claims();
    claims.claim(true, 'one');
    claims.claim(false, 'two', 'three');
    claims.claim(false, 'four', 'five');
    claims.giveUp('not-reachable', 'six', 'seven');
    expect(claims.over).toBe(true);
    expect(claims.verdict()).toEqual({ verdict: 'failed', expected: 'two', seen: 'three', bug: false });
  });

  it('say nothing of what would have been seen otherwise', () => {
    const claims = new Claims();
    claims.claim(true, 'it does', 'it does not');
    expect(claims.verdict().seen).toBe('as expected');
  });

  it('give up with a reason', () => {
    const claims = new Claims();
    claims.giveUp('inconclusive', 'a value that stands still', 'it moves');
    expect(claims.verdict()).toEqual({
      verdict: 'inconclusive',
      expected: 'a value that stands still',
      seen: 'it moves',
      bug: false,
    });
  });

  it('are inconclusive when nothing was claimed: that is no pass', () => {
    expect(new Claims().verdict().verdict).toBe('inconclusive');
  });

  it('cut a long list', () => {
    const claims = new Claims();
    for (let i = 0; i < 20; i++) claims.claim(true, `claim ${i}`);
    expect(claims.verdict().expected).toMatch(/^claim 0; .*claim 5; and 14 more$/);
  });
});
