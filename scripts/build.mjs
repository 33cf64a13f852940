// Bundles the command line into dist/cli. One entry, split by command, so that `check` does not load the proof.
import { rmSync } from 'node:fs';
import { join } from 'node:path';
import { ensurePackages, requireNode, root } from './ensure.mjs';

requireNode();
ensurePackages();
const { build } = await import('esbuild');

rmSync(join(root, 'dist', 'cli'), { recursive: true, force: true });
await build({
  absWorkingDir: root,
  entryPoints: ['src/cli/main.ts'],
  outdir: 'dist/cli',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  minifySyntax: true,
  minifyWhitespace: true,
  sourcemap: true,
  external: ['esbuild'],
  // Its ES modules; what Node resolves to is CommonJS, which a bundle of ES modules cannot hold.
  alias: { yaml: './node_modules/yaml/browser/index.js' },
  legalComments: 'none',
  logLevel: 'warning',
});
