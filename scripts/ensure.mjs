// What the two commands of the README share: they install what is missing, and say exactly what they cannot install.
// Node built-ins only: this file runs before any package is there.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync, statSync, writeFileSync, mkdirSync } from 'node:fs';
import { join } from 'node:path';
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

/** Installs Chromium, in which the page is tested, where that can be done without a question; else says how. */
export function ensureBrowser() {
  const places = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/usr/bin/google-chrome'];
  if (places.some((path) => existsSync(path))) return;
  if (process.getuid?.() === 0 && existsSync('/usr/bin/apt-get')) {
    console.error('Installing Chromium for the tests of the page …');
    const apt = (args) => run('apt-get', ['-o', 'DPkg::Lock::Timeout=500', '-qq', ...args], { env: aptEnvironment() });
    apt(['update']);
    apt(['install', '-y', '--no-install-recommends', 'chromium']);
    return;
  }
  console.error('The tests of the page need Chromium at /usr/bin/chromium (Debian: apt-get install chromium).');
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
