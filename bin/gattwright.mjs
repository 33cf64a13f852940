#!/usr/bin/env node
import { existsSync } from 'node:fs';
import module from 'node:module';

// Newer versions of Node keep compiled code from one start to the next.
module.enableCompileCache?.();

const program = new URL('../dist/cli/main.js', import.meta.url);
if (existsSync(program)) {
  await import(program.href);
} else {
  console.error('gattwright is not built yet. Run `npm start` or `npm run build` in its folder once.');
  process.exitCode = 2;
}
