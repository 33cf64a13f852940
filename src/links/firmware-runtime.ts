import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';

/** A file of the hand-written runtime, by its path below `firmware/`. */
export type RuntimeFile = { readonly path: string; readonly content: string };

/** What of `firmware/` goes into every emitted folder, in a stable order; the wasm port is no board of its own. */
export function readRuntime(folder: string): readonly RuntimeFile[] {
  return ['include', 'src', 'ports/posix', 'ports/arm', 'ports/rp2040', 'ports/microbit'].flatMap((part) =>
    readdirSync(join(folder, part))
      .filter((name) => /\.(?:c|h|ld)$/.test(name))
      .sort()
      .map((name) => ({ path: `${part}/${name}`, content: readFileSync(join(folder, part, name), 'utf8') })),
  );
}
