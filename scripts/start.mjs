// `npm start`: sets up what is missing, builds the command and the page, and serves the page on this machine.
// `--prove` proves the demo on the terminal instead; `--smoke` fetches the page once and ends, for machines.
import { join } from 'node:path';
import { run, requireNode, root } from './ensure.mjs';
import { serve } from './serve.mjs';

requireNode();
const options = process.argv.slice(2);
run(process.execPath, [join(root, 'scripts', 'build.mjs')]);

if (options.includes('--prove')) {
  const rest = options.filter((option) => option !== '--prove');
  run(process.execPath, [join(root, 'bin', 'gattwright.mjs'), 'prove', 'examples/wave-tank', ...rest]);
} else {
  run(process.execPath, [join(root, 'scripts', 'build-page.mjs'), '--if-stale']);
  const { url, stop } = await serve(join(root, 'dist', 'page'), 4173);
  console.log(`Gattwright is at ${url}`);
  if (options.includes('--smoke')) {
    await fetchAll(url);
    await stop();
  } else {
    console.log('Stop it with Ctrl+C. The folder dist/page holds the same page for any static host.');
  }
}

/** The page and everything its head names must be there. */
async function fetchAll(url) {
  const html = await (await fetch(url)).text();
  const names = [...html.matchAll(/(?:src|href)="(\.\/[^"]+)"/g)].map(([, name]) => name);
  for (const name of names) {
    const response = await fetch(new URL(name, url));
    if (!response.ok) throw new Error(`${name} is answered with ${response.status}`);
  }
  console.log(`The page and ${names.length} files of its head are there.`);
}
