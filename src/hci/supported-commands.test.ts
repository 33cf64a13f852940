import { describe, expect, it } from 'vitest';
import { commandNames } from './commands/registry.ts';
import { namesOfSupported, supportedCommands } from './supported-commands.ts';

describe('supported commands', () => {
  it('come back from their bits', () => {
    expect(namesOfSupported(supportedCommands(commandNames))).toEqual(commandNames);
    expect(namesOfSupported(supportedCommands(['reset', 'le-rand']))).toEqual(['reset', 'le-rand']);
  });

  // The bits that an operating system looks at while it brings a controller up, as recorded from one.
  it('set the bits that a full host asks for', () => {
    const octets = supportedCommands(commandNames);
    const asked: readonly (readonly [number, readonly number[]])[] = [
      [0, [5]],
      [2, [7]],
      [5, [6, 7]],
      [14, [3, 5, 7]],
      [15, [1]],
      [25, [0, 1, 2, 4, 5, 6, 7]],
      [26, [0, 1, 2, 3, 4, 5, 6, 7]],
      [27, [0, 1, 2, 5, 6, 7]],
      [28, [0, 3]],
      [33, [4, 5, 6, 7]],
      [34, [0, 3, 4, 5, 6]],
      [35, [2, 3, 4, 5, 6]],
    ];
    for (const [octet, bits] of asked) {
      for (const bit of bits) expect((octets[octet]! >> bit) & 1, `${octet}:${bit}`).toBe(1);
    }
  });
});
