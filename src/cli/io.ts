import { createInterface } from 'node:readline';
import type { Palette } from '../base/render-finding.ts';
import { cannotWrite } from './cannot-write.ts';
import { palette } from './palette.ts';

/** What a command may touch of the process; tests give their own. */
export type Io = {
  /** Results. */
  out(text: string): void;
  /** Talk: progress, findings, complaints. */
  err(text: string): void;
  readonly outPalette: Palette;
  readonly errPalette: Palette;
  /** Columns of the terminal on standard output; 100 where there is none. */
  readonly columns: number;
  /** Whether a person watches standard error, so that progress is worth drawing. */
  readonly watched: boolean;
  /** Lines typed or piped on standard input, without line ends. */
  lines(): AsyncIterable<string>;
  /** Called once when the person interrupts (Ctrl-C). */
  onInterrupt(call: () => void): () => void;
};

export function processIo(): Io {
  // A reader that went away (`| head`) is no error of ours.
  for (const stream of [process.stdout, process.stderr]) {
    stream.on('error', (error: NodeJS.ErrnoException) => {
      if (error.code === 'EPIPE') process.exit(0);
      // Nothing can be said on a stream that does not take it; the other one may still do.
      if (stream === process.stdout)
        process.stderr.write(`gattwright: ${cannotWrite('standard output', error).message}\n`);
      process.exit(2);
    });
  }
  return {
    out: (text) => process.stdout.write(text),
    err: (text) => process.stderr.write(text),
    outPalette: palette(coloured(process.stdout)),
    errPalette: palette(coloured(process.stderr)),
    columns: process.stdout.isTTY ? process.stdout.columns : 100,
    watched: process.stderr.isTTY,
    lines: () => createInterface({ input: process.stdin, crlfDelay: Infinity }),
    onInterrupt(call) {
      process.once('SIGINT', call);
      return () => process.off('SIGINT', call);
    },
  };
}

/** NO_COLOR (any non-empty value) wins over FORCE_COLOR, which wins over the terminal. Source: no-color.org convention. */
function coloured(stream: NodeJS.WriteStream): boolean {
  if ((process.env['NO_COLOR'] ?? '') !== '') return false;
  if ((process.env['FORCE_COLOR'] ?? '') !== '') return process.env['FORCE_COLOR'] !== '0';
  return stream.isTTY && process.env['TERM'] !== 'dumb';
}
