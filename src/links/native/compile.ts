import { spawnSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { emitFirmware } from '../../emit/firmware-c/emit.ts';
import type { Table } from '../../table/model.ts';
import { readRuntime } from '../firmware-runtime.ts';
import { packageRoot } from '../package-root.ts';

/** A program; or in one sentence why there is none, and what to do. */
export type Compiled =
  | { readonly ok: true; readonly program: string }
  | { readonly ok: false; readonly why: string; readonly remedy: string };

/** Memory and arithmetic errors end the process with a report on standard error. */
export const sanitizerFlags = ['-g', '-fsanitize=address,undefined', '-fno-sanitize-recover=all'];

/** The C files of the board and its POSIX port; or why there are none. */
export type Written =
  | { readonly ok: true; readonly sources: readonly string[] }
  | { readonly ok: false; readonly why: string; readonly remedy: string };

/** Emits the firmware of a contract into `folder`. */
export function writeFirmware(table: Table, folder: string): Written {
  const emitted = emitFirmware(table, {
    origin: { version: '', contract: 'contract.yaml' },
    runtime: readRuntime(join(packageRoot(), 'firmware')),
    lineOf: () => 0,
  });
  if (!emitted.ok) return emitted;
  const sources: string[] = [];
  for (const { path, content } of emitted.artifacts) {
    const file = join(folder, path);
    mkdirSync(dirname(file), { recursive: true });
    writeFileSync(file, content);
    if (path.endsWith('.c') && (!path.startsWith('ports/') || path.startsWith('ports/posix/'))) sources.push(file);
  }
  return { ok: true, sources };
}

/** Emits the firmware of a contract into `folder` and compiles it there as a process of this machine, with gcc. */
export function compileNative(table: Table, folder: string, flags: readonly string[]): Compiled {
  const written = writeFirmware(table, folder);
  if (!written.ok) return written;
  const program = join(folder, 'board');
  const includes = ['.', 'runtime/include', 'runtime/src', 'ports/posix'].map((path) => `-I${join(folder, path)}`);
  const result = spawnSync('gcc', ['-std=c99', '-O1', ...flags, ...includes, ...written.sources, '-o', program]);
  if (result.error !== undefined) {
    return {
      ok: false,
      why: 'there is no gcc to compile the firmware with',
      remedy: 'install gcc (Debian: apt-get install gcc)',
    };
  }
  if (result.status === 0) return { ok: true, program };
  const [first = ''] = result.stderr
    .toString()
    .split('\n')
    .filter((line) => line.includes('error'));
  return {
    ok: false,
    why: `gcc does not compile the firmware: ${first.slice(0, 300)}`,
    remedy: 'run `gcc --version`: C99 with the sanitizers of gcc 8 or newer is wanted',
  };
}
