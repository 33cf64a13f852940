import { CannotRun } from '../cannot-run.ts';
import type { Run } from '../command.ts';
import { commandHelp, overview } from '../help.ts';

export const run: Run = (input, io, commands) => {
  const name = input.argument('COMMAND');
  const command = commands.find((candidate) => candidate.name === name);
  if (name !== undefined && command === undefined) {
    throw new CannotRun(`there is no command \`${name}\``, '`gattwright help` lists the commands');
  }
  if (input.option('format') === 'json') {
    io.out(`${JSON.stringify(command ?? commands, undefined, 2)}\n`);
    return Promise.resolve(0);
  }
  io.out(command === undefined ? overview(commands, io.columns) : commandHelp(command, io.columns));
  return Promise.resolve(0);
};
