import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bug } from '../base/bug.ts';

/** The folder of this package, from the bundle as well as from the source. */
export function packageRoot(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    const manifest = join(folder, 'package.json');
    if (existsSync(manifest) && /"name":\s*"gattwright"/.test(readFileSync(manifest, 'utf8'))) return folder;
    const parent = dirname(folder);
    bug(parent !== folder, 'the package has a package.json above its code');
    folder = parent;
  }
}
