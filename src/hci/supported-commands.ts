import type { Bytes } from '../base/bytes.ts';
import { commandNames, commands, type CommandName } from './commands/registry.ts';

/** Octets of the bit field of supported commands. Core Vol 4 Part E 6.27. */
const length = 64;

/** The 64 octets of Read Local Supported Commands for a controller that has these commands. */
export function supportedCommands(names: readonly CommandName[]): Bytes {
  const octets = new Uint8Array(length);
  for (const name of names) {
    const [octet, bit] = commands[name].supported;
    octets[octet] = (octets[octet] ?? 0) | (1 << bit);
  }
  return octets;
}

/** The commands known here that a controller's 64 octets name. */
export function namesOfSupported(octets: Bytes): readonly CommandName[] {
  return commandNames.filter((name) => {
    const [octet, bit] = commands[name].supported;
    return ((octets[octet] ?? 0) & (1 << bit)) !== 0;
  });
}
