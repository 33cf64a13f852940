import { CannotRun, type Run } from '../command.ts';
import { commandHelp, overview } from '../help.ts';

export const run: Run = (input, io, commands) => {
  const name = input.argument('COMMAND');
  const command = commands.find((candidate) => candidate.name === name);
  if (name !== undefined && command === undefined) {
    throw new CannotRun(`there is no command \`${name}\``, '`gattwright help` lists the commands');
  }
  io.out(command === undefined ? overview(commands, io.columns) : commandHelp(command, io.columns));
  return Promise.resolve(0);
};
