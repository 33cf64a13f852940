import { completionScript } from '../completions.ts';
import { required, type Run } from '../command.ts';

export const run: Run = (input, io, commands) => {
  const shell = required(input, 'SHELL');
  io.out(completionScript(shell as 'bash' | 'zsh' | 'fish', commands));
  return Promise.resolve(0);
};
