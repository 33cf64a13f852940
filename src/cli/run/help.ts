import { CannotRun, type Run } from '../command.ts';
import { commandHelp, overview } from '../help.ts';
import { commandNamed, commands } from '../registry.ts';

export const run: Run = (input, io) => {
  const name = input.argument('COMMAND');
  const command = name === undefined ? undefined : commandNamed(name);
  if (name !== undefined && command === undefined) {
    throw new CannotRun(`there is no command \`${name}\``, '`gattwright help` lists the commands');
  }
  io.out(command === undefined ? overview(commands, io.columns) : commandHelp(command, io.columns));
  return Promise.resolve(0);
};
