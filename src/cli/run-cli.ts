import { nearest } from '../base/nearest.ts';
import { printable } from '../base/render-finding.ts';
import { CannotRun } from './cannot-run.ts';
import type { ExitCode } from './command.ts';
import { commandHelp, overview } from './help.ts';
import type { Io } from './io.ts';
import { parseArguments } from './parse-arguments.ts';
import { commands } from './registry.ts';
import { version } from './version.ts';

/**
 * The whole program: words of the command line in, exit code out.
 *
 * @throws nothing that a user can cause
 */
export async function runCli(words: readonly string[], io: Io): Promise<ExitCode> {
  const [name, ...rest] = words;
  try {
    if (name === undefined || name === '--help' || name === '-h') {
      io.out(overview(commands, io.columns));
      return name === undefined ? 2 : 0;
    }
    if (name === '--version') {
      io.out(`gattwright ${version}\n`);
      return 0;
    }
    const command = commands.find((candidate) => candidate.name === name);
    if (command === undefined) {
      const near = nearest(
        name,
        commands.map((candidate) => candidate.name),
      );
      throw new CannotRun(
        `there is no command \`${name}\``,
        near === undefined ? '`gattwright help` lists the commands' : `did you mean \`${near}\`?`,
      );
    }
    const input = parseArguments(command, rest);
    if (input.has('help')) {
      io.out(commandHelp(command, io.columns));
      return 0;
    }
    const { run } = await command.load();
    return await run(input, io, commands);
  } catch (error) {
    if (!(error instanceof CannotRun)) throw error;
    // What was typed comes back in the message, and may hold what would drive a terminal.
    const lines = [`gattwright: ${error.message}`, ...(error.hint === undefined ? [] : [`  ${error.hint}`])];
    io.err(`${lines.join('\n').split('\n').map(printable).join('\n')}\n`);
    return 2;
  }
}
