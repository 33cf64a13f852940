// Builds the engine from the C runtime. `node firmware/ports/wasm/build.mjs` writes it anew as src/links/engine/octets.ts;
// with `--check` it only says whether what stands there is what the sources give. Debian's clang 14 and lld 14 made it.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const firmware = fileURLToPath(new URL('../..', import.meta.url));
const target = join(firmware, '..', 'src', 'links', 'engine', 'octets.ts');

/** As many clients at once as the virtual board takes; and memory for events as if the console were always slow. */
const defines = ['-DGW_CONNECTIONS=4', '-DGW_EVENT_OCTETS=32768'];

const exported = ['room', 'start', 'to_controller', 'to_person', 'receive', 'type', 'poll', 'set', 'get'];

/** @returns the module's octets @throws Error with what the compiler said */
export function buildEngine() {
  const folder = mkdtempSync(join(tmpdir(), 'gattwright-engine-'));
  try {
    const sources = readdirSync(join(firmware, 'src'))
      .filter((name) => name.endsWith('.c'))
      .sort()
      .map((name) => join('src', name));
    const output = join(folder, 'engine.wasm');
    const args = [
      ...'--target=wasm32 -std=c99 -Os -nostdlib -ffreestanding -fno-builtin -fvisibility=hidden'.split(' '),
      ...['-Iinclude', '-Isrc', '-Iports/wasm', ...defines],
      ...['-Wl,--no-entry', '-Wl,--strip-all', '-Wl,-z,stack-size=16384'],
      ...exported.map((name) => `-Wl,--export=gw_engine_${name}`),
      ...['-o', output, ...sources, 'ports/wasm/gw_engine.c', 'ports/arm/memory.c'],
    ];
    const result = spawnSync('clang', args, { cwd: firmware, encoding: 'utf8' });
    if (result.status !== 0) throw new Error(`clang: ${result.error?.message ?? result.stderr}`);
    return readFileSync(output);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The source file that holds the module. */
export function engineSource(octets) {
  const lines = [];
  const text = octets.toString('base64');
  for (let at = 0; at < text.length; at += 110) lines.push(text.slice(at, at + 110));
  return `/**
 * The engine, compiled from firmware/ by firmware/ports/wasm/build.mjs: base64 of a WebAssembly module. Made by that
 * program; a test compiles it again and compares.
 */
export const engineBase64 = \`
${lines.join('\n')}
\`;
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const source = engineSource(buildEngine());
  if (!process.argv.includes('--check')) {
    writeFileSync(target, source);
  } else if (readFileSync(target, 'utf8') !== source) {
    console.error('src/links/engine/octets.ts is not what firmware/ gives: run node firmware/ports/wasm/build.mjs');
    process.exit(1);
  }
}
