// `npm start`: sets up what is missing and proves the demo on the terminal.
import { run, requireNode, root } from './ensure.mjs';
import { join } from 'node:path';

requireNode();
run(process.execPath, [join(root, 'scripts', 'build.mjs')]);
run(process.execPath, [join(root, 'bin', 'gattwright.mjs'), 'prove', 'examples/wave-tank', ...process.argv.slice(2)]);
