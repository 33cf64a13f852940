// `npm run docs` writes the generated pages; `--check` only says which are out of date.
import { existsSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { ensurePackages, requireNode, root } from './ensure.mjs';

requireNode();
ensurePackages();
const { build } = await import('esbuild');

const bundle = join(root, 'dist', 'docs', 'generated-pages.mjs');
await build({
  absWorkingDir: root,
  entryPoints: ['scripts/generated-pages.ts'],
  outfile: bundle,
  bundle: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  alias: { yaml: './node_modules/yaml/browser/index.js' },
  logLevel: 'warning',
});
const { generatedPages } = await import(pathToFileURL(bundle).href);
rmSync(dirname(bundle), { recursive: true });

const stale = [];
for (const { path, text } of generatedPages()) {
  const file = join(root, path);
  if (existsSync(file) && readFileSync(file, 'utf8') === text) continue;
  stale.push(path);
  if (process.argv.includes('--check')) continue;
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
  console.log(`wrote ${path}`);
}
if (process.argv.includes('--check') && stale.length > 0) {
  console.error(`out of date: ${stale.join(', ')}. Run \`npm run docs\` and commit what it writes.`);
  process.exitCode = 1;
}
