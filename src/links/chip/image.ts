import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Table } from '../../table/model.ts';
import { writeFirmware } from '../native/compile.ts';

/** An image's path without `.bin` and `.elf`; or in one sentence why there is none, and what to do. */
export type BuiltImage =
  { readonly ok: true; readonly image: string } | { readonly ok: false; readonly why: string; readonly remedy: string };

/** Emits the firmware of a contract into `folder` and builds it for a chip there, as a user does: with CMake. */
export function buildImage(table: Table, folder: string, port: 'rp2040' | 'microbit'): BuiltImage {
  const written = writeFirmware(table, folder);
  if (!written.ok) return written;
  const into = join(folder, 'build');
  for (const args of [
    ['-S', folder, '-B', into, `-DPORT=${port}`],
    ['--build', into, '-j2'],
  ]) {
    const result = spawnSync('cmake', args, { encoding: 'utf8' });
    if (result.status === 0) continue;
    const there = result.error === undefined;
    const first = there ? result.stderr.split('\n').find((line) => /error/i.test(line)) : undefined;
    return {
      ok: false,
      why: there ? `the image for the ${port} is not built: ${(first ?? '').slice(0, 300)}` : 'there is no CMake here',
      remedy: 'install CMake and the compiler for chips (Debian: apt-get install cmake make gcc-arm-none-eabi)',
    };
  }
  const name = readdirSync(into).find((file) => file.endsWith('.elf'));
  if (name !== undefined) return { ok: true, image: join(into, name.slice(0, -'.elf'.length)) };
  return { ok: false, why: `the build for the ${port} made no image`, remedy: 'report this with your contract' };
}
