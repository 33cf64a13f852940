// Builds the page into dist/page: a folder of static files for any host. `--if-stale`: only when a source is newer.
import { readdirSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { ensurePackages, isStale, requireNode, root } from './ensure.mjs';

requireNode();
ensurePackages();

const sources = ['src', 'examples', 'scripts/page', 'package-lock.json'].flatMap((path) => filesIn(join(root, path)));
if (!process.argv.includes('--if-stale') || isStale(join(root, 'dist', 'page', 'index.html'), sources)) {
  const { build } = await import('vite');
  await build({ configFile: join(root, 'scripts', 'page', 'vite.config.ts'), logLevel: 'warn' });
}

function filesIn(path) {
  if (!statSync(path).isDirectory()) return [path];
  return readdirSync(path).flatMap((name) => filesIn(join(path, name)));
}
