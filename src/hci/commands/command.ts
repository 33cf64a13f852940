import type { Layout } from '../layout.ts';

/**
 * What one command carries and how it is answered. `returns` are the parameters behind the status of Command Complete;
 * `undefined`: the command is answered by Command Status and, when it is done, by an event of its own.
 */
export type Command = {
  readonly opcode: number;
  readonly parameters: Layout;
  readonly returns: Layout | undefined;
  /** Octet and bit in the answer of Read Local Supported Commands; `undefined` for commands without one. */
  readonly supported: readonly [octet: number, bit: number] | undefined;
};

/** Opcode from group and command number. Core Vol 4 Part E 5.4.1. */
export function opcode(group: number, command: number): number {
  return (group << 10) | command;
}
