// What the two commands of the README share: they install what is missing, and say exactly what they cannot install.
// Node built-ins only: this file runs before any package is there.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, statSync, writeFileSync, mkdirSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('..', import.meta.url));

/** Runs a program with its output on the terminal and ends this one with its exit code when it fails. */
export function run(command, args, options = {}) {
  const result = spawnSync(command, args, { cwd: root, stdio: 'inherit', ...options });
  if (result.error) fail(`could not run ${command}: ${result.error.message}`);
  if (result.status !== 0) process.exit(result.status ?? 1);
}

export function fail(text) {
  console.error(text);
  process.exit(2);
}

export function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major < 20 || (major === 20 && minor < 19)) {
    fail(
      `Gattwright needs Node 20.19 or newer; this is ${process.versions.node}. Install a newer Node and run this again.`,
    );
  }
}

/** Installs the npm packages when they are missing or older than the lock file. */
export function ensurePackages() {
  const lock = join(root, 'package-lock.json');
  const stamp = join(root, 'node_modules', '.gattwright-lock');
  const wanted = readFileSync(lock, 'utf8');
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === wanted) return;
  console.error('Installing the npm packages named in package-lock.json …');
  run('npm', ['ci', '--no-audit', '--no-fund'], { shell: process.platform === 'win32' });
  mkdirSync(join(root, 'node_modules'), { recursive: true });
  writeFileSync(stamp, wanted);
}

/**
 * What the tests run besides Node: a place of each program, and the Debian package it comes from. The sanitizers' and
 * fuzzer's libraries have no program; their place is where Debian's clang keeps them.
 */
const tools = [
  { package: 'chromium', for: 'the page', places: ['chromium', 'chromium-browser', 'google-chrome'] },
  { package: 'dbus', for: 'the page on a radio link', places: ['dbus-daemon'] },
  { package: 'gcc', for: 'the firmware', places: ['gcc'] },
  { package: 'g++', for: 'the firmware’s headers in C++', places: ['g++'] },
  { package: 'clang', for: 'the firmware', places: ['clang'] },
  { package: 'lld', for: 'the engine', places: ['wasm-ld'] },
  { package: 'libclang-rt-dev', for: 'fuzzing the firmware', places: fuzzerLibraries() },
  { package: 'gcc-arm-none-eabi', for: 'firmware for chips', places: ['arm-none-eabi-gcc'] },
  { package: 'qemu-system-arm', for: 'firmware on an emulated chip', places: ['qemu-system-arm'] },
  { package: 'cppcheck', for: 'checking the firmware', places: ['cppcheck'] },
  { package: 'cmake', for: 'building emitted folders', places: ['cmake'] },
  { package: 'make', for: 'building emitted folders', places: ['make'] },
  { package: 'socat', for: 'serial consoles', places: ['socat'] },
];

/** Installs what the tests need and is missing, where that can be done without a question; else says how. */
export function ensureTools() {
  const missing = tools.filter(({ places }) => !places.some(isThere));
  if (missing.length === 0) return;
  const packages = missing.map((tool) => tool.package);
  if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    console.error(`Installing for the tests: ${packages.join(', ')} …`);
    const apt = (args) => run('apt-get', ['-o', 'DPkg::Lock::Timeout=500', '-qq', ...args], { env: aptEnvironment() });
    apt(['update']);
    apt(['install', '-y', '--no-install-recommends', ...packages]);
    return;
  }
  for (const tool of missing) console.error(`The tests of ${tool.for} need ${tool.package}.`);
  console.error(`Debian: apt-get install ${packages.join(' ')}`);
}

/** Looks for a program on the path, or for a file by its whole name. */
function isThere(place) {
  if (place.startsWith('/')) return existsSync(place);
  return (process.env.PATH ?? '').split(delimiter).some((folder) => existsSync(join(folder, place)));
}

function fuzzerLibraries() {
  const versions = [14, 15, 16, 17, 18, 19, 20, 21];
  return versions.flatMap((version) =>
    [`${version}.0.6`, `${version}`].map((name) => `/usr/lib/llvm-${version}/lib/clang/${name}/lib/linux`),
  );
}

function aptEnvironment() {
  return { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
}

/** True when `output` is missing or older than any of `sources`. */
export function isStale(output, sources) {
  if (!existsSync(output)) return true;
  const made = statSync(output).mtimeMs;
  return sources.some((source) => statSync(source).mtimeMs > made);
}
