import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { firstContract } from './first-contract.ts';
import { FirstFiles } from './first-files.ts';
import { leanCharts } from './lean-charts.ts';
import { pageParts } from './page-parts.ts';
import { plainImports } from './plain-imports.ts';

const fromRoot = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));
const page = fromRoot('src/page/main.tsx');
const worker = fromRoot('src/page/worker/worker.ts');
const first = new FirstFiles(page, worker, fromRoot('src/values/drives/explain.ts'));

export default defineConfig({
  root: fromRoot('src/page'),
  // Paths in the built folder are relative: it works from any place on any static host.
  base: './',
  publicDir: 'public',
  cacheDir: fromRoot('node_modules/.vite'),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: fromRoot('dist/page'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: {
      polyfill: false,
      resolveDependencies: (_file, needed, { hostType }) => (hostType === 'html' ? needed : []),
    },
    reportCompressedSize: false,
    chunkSizeWarningLimit: 1024,
    license: { fileName: 'licences.md' },
    rolldownOptions: {
      // The worker is built with the page, not as a bundle of its own: what both need is loaded once.
      input: { index: fromRoot('src/page/index.html'), worker },
      output: {
        entryFileNames: ({ name }) => (name === 'worker' ? 'worker.js' : 'assets/[name]-[hash].js'),
        codeSplitting: { groups: first.groups },
      },
      // Reading the contract for the first module takes a while, and may.
      checks: { bundlerTimings: false },
    },
  },
  plugins: [
    firstContract(fromRoot('examples/wave-tank/contract.yaml')),
    first.plugin(),
    leanCharts(),
    plainImports(),
    pageParts(),
  ],
});
