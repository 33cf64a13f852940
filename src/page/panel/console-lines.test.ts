import { describe, expect, it } from 'vitest';
import { paneLine, recallTyped, rememberTyped } from './console-lines.ts';

const row = (text: string, from: 'board' | 'user' = 'board') => ({ id: 1, from, text });

describe('paneLine', () => {
  it('leaves out what the world does by itself, unless it is asked for', () => {
    const rig = row('tell 12 level 0100 rig');
    const air = row('tell 12 paddle 3200 air');
    expect(paneLine(rig, 'acts')).toBeUndefined();
    expect(paneLine(rig, 'all')?.set).toBe('tell');
    expect(paneLine(air, 'acts')?.set).toBe('tell');
    expect(paneLine(air, 'none')).toBeUndefined();
  });

  it('tells an error in its words', () => {
    expect(paneLine(row('error set range 5 Hz is outside 0 to 4 Hz'), 'none')).toMatchObject({
      set: 'error',
      text: '▲ 5 Hz is outside 0 to 4 Hz',
    });
  });

  it('keeps what was typed and what it does not know', () => {
    expect(paneLine(row('get paddle', 'user'), 'none')?.set).toBe('typed');
    expect(paneLine(row('something else'), 'none')?.set).toBe('answer');
  });
});

describe('recallTyped', () => {
  it('goes through the lines that were typed', () => {
    for (const line of ['list', 'get paddle', 'get paddle']) rememberTyped(line);
    expect(recallTyped(-1)).toBe('get paddle');
    expect(recallTyped(-1)).toBe('list');
    expect(recallTyped(-1)).toBeUndefined();
    expect(recallTyped(1)).toBe('get paddle');
    expect(recallTyped(1)).toBe('');
  });
});
