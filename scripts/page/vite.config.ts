import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vite';
import { firstContract } from './first-contract.ts';
import { pageParts } from './page-parts.ts';

const fromRoot = (path: string): string => fileURLToPath(new URL(`../../${path}`, import.meta.url));

/** What is needed at once is one file: a dozen small ones compress worse and wait for each other. */
const bundling = {
  output: { codeSplitting: { groups: [{ name: 'first', tags: ['$initial' as const] }] } },
  // Reading the contract for the first module takes a while, and may.
  checks: { bundlerTimings: false },
};

export default defineConfig({
  root: fromRoot('src/page'),
  // Paths in the built folder are relative: it works from any place on any static host.
  base: './',
  publicDir: 'public',
  cacheDir: fromRoot('node_modules/.vite'),
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  worker: {
    format: 'es',
    rolldownOptions: bundling,
    plugins: () => [firstContract(fromRoot('examples/wave-tank/contract.yaml'))],
  },
  build: {
    outDir: fromRoot('dist/page'),
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    reportCompressedSize: false,
    chunkSizeWarningLimit: 1024,
    license: { fileName: 'licences.md' },
    rolldownOptions: bundling,
  },
  plugins: [pageParts()],
});
