import { completionScript } from '../completions.ts';
import { required, type Run } from '../command.ts';
import { commands } from '../registry.ts';

export const run: Run = (input, io) => {
  const shell = required(input, 'SHELL');
  io.out(completionScript(shell as 'bash' | 'zsh' | 'fish', commands));
  return Promise.resolve(0);
};
