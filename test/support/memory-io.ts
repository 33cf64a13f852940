import { plainPalette } from '../../src/base/render-finding.ts';
import type { Io } from '../../src/cli/io.ts';

/** An Io that remembers: what a command printed, with the lines it will read. */
export type MemoryIo = Io & { readonly printed: { out: string; err: string } };

export function memoryIo(lines: readonly string[] = [], columns = 100): MemoryIo {
  const printed = { out: '', err: '' };
  return {
    printed,
    out: (text) => {
      printed.out += text;
    },
    err: (text) => {
      printed.err += text;
    },
    outPalette: plainPalette,
    errPalette: plainPalette,
    columns,
    watched: false,
    async *lines() {
      for (const line of lines) yield await Promise.resolve(line);
    },
    onInterrupt: () => () => undefined,
  };
}
