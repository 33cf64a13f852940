import { leAdvertiseScanCommands } from './le-advertise-scan.ts';
import { leConnectionCommands } from './le-connection.ts';
import { generalCommands } from './general.ts';

/** Every command with typed parameters, by name. */
export const commands = { ...generalCommands, ...leAdvertiseScanCommands, ...leConnectionCommands } as const;

export type CommandName = keyof typeof commands;

export const commandNames = Object.keys(commands) as CommandName[];

const byOpcode: ReadonlyMap<number, CommandName> = new Map(commandNames.map((name) => [commands[name].opcode, name]));

/** `undefined` for a command that has no declaration here. */
export function commandName(opcode: number): CommandName | undefined {
  return byOpcode.get(opcode);
}
