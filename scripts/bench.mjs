// `npm run bench`: builds and runs the benchmarks. Every figure stands beside what it was compared with in the same run.
import { join } from 'node:path';
import { run, root } from './ensure.mjs';

run(process.execPath, [join(root, 'scripts', 'build.mjs')]);
const { build } = await import('esbuild');
await build({
  absWorkingDir: root,
  entryPoints: ['bench/main.ts', 'bench/hostile-child.ts', 'bench/page/main.ts'],
  outdir: 'dist/bench',
  bundle: true,
  format: 'esm',
  platform: 'node',
  target: 'node20',
  alias: { yaml: './node_modules/yaml/browser/index.js' },
  external: ['esbuild', 'playwright-core'],
  logLevel: 'warning',
});
run(process.execPath, [join(root, 'dist', 'bench', 'main.js'), ...process.argv.slice(2)]);
run(process.execPath, [join(root, 'scripts', 'build-page.mjs'), '--if-stale']);
run(process.execPath, [join(root, 'dist', 'bench', 'page', 'main.js')]);
