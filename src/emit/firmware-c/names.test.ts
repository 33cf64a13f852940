import { describe, expect, it } from 'vitest';
import { isPrefix, Names, prefixOf, snake, upper } from './names.ts';

describe('names in C', () => {
  it.each([
    ['Tank 01', '01', 'tank'],
    ['Bay 3', '3', 'bay'],
    ['3D printer', '', 'd_printer'],
    ['Étoile n° 5', '5', 'e_toile_n'],
    ['波', '', 'board'],
    ['int', '', 'board'],
    ['Stream', '', 'board'],
    ['gw', '', 'board'],
    ['A very long name of a board indeed', '', 'a_very_long_name_of_a_bo'],
  ])('of the board %s of unit %s: %s', (name, unit, prefix) => {
    expect(prefixOf(name, unit)).toBe(prefix);
    expect(isPrefix(prefix)).toBe(true);
  });

  it.each(['', 'Tank', '1tank', 'int', 'int8', 'uint16_t', 'size', 'gw', 'gw_x', 'class', 'stream', 'a'.repeat(25)])(
    'take no prefix %j',
    (text) => {
      expect(isPrefix(text)).toBe(false);
    },
  );

  it('step round the words of C and C++', () => {
    expect(['water-level', 'int', 'new', 'x'].map(snake)).toEqual(['water_level', 'int_', 'new_', 'x']);
  });

  it('are made of any text, if it has a letter or digit', () => {
    expect(upper('circuit 1')).toBe('CIRCUIT_1');
    expect(upper('→')).toBeUndefined();
  });

  it('are given out once', () => {
    const names = new Names();
    expect(['a', 'a', 'a_2', 'a'].map((name) => names.unique(name))).toEqual(['a', 'a_2', 'a_2_2', 'a_3']);
  });
});
