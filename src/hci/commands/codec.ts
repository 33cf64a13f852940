import type { Bytes } from '../../base/bytes.ts';
import { concat } from '../../base/bytes.ts';
import { decodeLayout, encodeLayout, type Layout, type Values } from '../layout.ts';
import type { CommandPacket, EventPacket } from '../packet.ts';
import { commandName, commands, type CommandName } from './registry.ts';

type Declared = typeof commands;

export type CommandParameters<N extends CommandName> = Values<Declared[N]['parameters']>;

/** Commands answered by Command Complete. */
export type CompletedName = {
  [N in CommandName]: Declared[N]['returns'] extends undefined ? never : N;
}[CommandName];

/** Commands answered by Command Status, the outcome of which comes in an event. */
export type StartedName = Exclude<CommandName, CompletedName>;

export type CommandReturns<N extends CompletedName> = Values<Declared[N]['returns']>;

/** A command with its parameters, discriminated by the name in `kind`. */
export type HciCommand = { [N in CommandName]: { readonly kind: N } & CommandParameters<N> }[CommandName];

/** What a command packet means, or why it cannot be read. */
export type DecodedCommand =
  | { readonly kind: 'command'; readonly command: HciCommand }
  | { readonly kind: 'unknown-opcode' }
  /** Parameters too short or too long. */
  | { readonly kind: 'wrong-length'; readonly name: CommandName };

export function encodeCommand<N extends CommandName>(name: N, parameters: CommandParameters<N>): CommandPacket {
  const { opcode, parameters: layout } = commands[name];
  return { kind: 'command', opcode, parameters: encodeLayout(layout as Layout, parameters) };
}

export function decodeCommand(packet: CommandPacket): DecodedCommand {
  const name = commandName(packet.opcode);
  if (name === undefined) return { kind: 'unknown-opcode' };
  const parameters = decodeLayout(commands[name].parameters as Layout, packet.parameters);
  if (parameters === undefined) return { kind: 'wrong-length', name };
  return { kind: 'command', command: { kind: name, ...parameters } as unknown as HciCommand };
}

/** Event codes that answer a command. Core Vol 4 Part E 7.7.14, 7.7.15. */
export const commandCompleteCode = 0x0e;
export const commandStatusCode = 0x0f;

/**
 * Command Complete of a command that succeeded, with its return parameters.
 *
 * @param credit Num_HCI_Command_Packets, 1 unless told
 */
export function encodeComplete<N extends CompletedName>(name: N, returns: CommandReturns<N>, credit = 1): EventPacket {
  const { opcode, returns: layout } = commands[name];
  const parameters = encodeLayout(layout as Layout, returns as never);
  return completeEvent(opcode, concat([0], parameters), credit);
}

/**
 * Command Complete of a command that failed: the status, and for return parameters as many zeros.
 *
 * @param keep the first return parameters, where they must be kept: the connection handle
 */
export function encodeFailed(name: CompletedName, status: number, keep: Bytes, credit = 1): EventPacket {
  const { opcode, returns } = commands[name];
  const parameters = new Uint8Array(layoutLength(returns));
  parameters.set(keep.subarray(0, parameters.length));
  return completeEvent(opcode, concat([status], parameters), credit);
}

/** Command Complete with octets as they are, status first: for commands without declaration too. */
export function completeEvent(opcode: number, returns: Bytes, credit = 1): EventPacket {
  const parameters = concat([credit, opcode & 0xff, opcode >> 8], returns);
  return { kind: 'event', code: commandCompleteCode, parameters };
}

/** Command Status; also for an unknown command. */
export function statusEvent(opcode: number, status: number, credit = 1): EventPacket {
  const parameters = Uint8Array.of(status, credit, opcode & 0xff, opcode >> 8);
  return { kind: 'event', code: commandStatusCode, parameters };
}

/** What Command Complete tells about a command: its status and, when that is 0, its return parameters. */
export type Completed<N extends CompletedName> =
  | { readonly status: 0; readonly returns: CommandReturns<N> }
  /** `returns` are missing because it failed; or, with status 0, because they could not be read. */
  | { readonly status: number; readonly returns: undefined };

/** @param octets return parameters, status first */
export function decodeReturns<N extends CompletedName>(name: N, octets: Bytes): Completed<N> {
  const status = octets[0] ?? 0xff;
  if (status !== 0) return { status, returns: undefined };
  const returns = decodeLayout(commands[name].returns as Layout, octets.subarray(1));
  if (returns === undefined) return { status, returns: undefined };
  return { status: 0, returns: returns as unknown as CommandReturns<N> };
}

/** Octets of a layout without parts of varying length, all of them zero. */
function layoutLength(layout: Layout): number {
  const cursor = new Uint8Array(256);
  let length = 0;
  // The longest prefix of zeros that fits is the length itself; return parameters are at most 64 octets.
  while (decodeLayout(layout, cursor.subarray(0, length)) === undefined) length += 1;
  return length;
}
