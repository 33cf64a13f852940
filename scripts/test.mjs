// `npm test`: sets up what is missing, then runs every check there is and closes with one line of counts.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { ensurePackages, ensureTools, requireNode, root } from './ensure.mjs';

requireNode();
ensurePackages();
ensureTools();

const bin = (name) => join(root, 'node_modules', '.bin', name);
const folder = mkdtempSync(join(tmpdir(), 'gattwright-test-'));
const results = join(folder, 'results.json');

/** Each step runs even if an earlier one failed: all that is wrong is told at once. */
const steps = [
  ['types', bin('tsc'), ['-p', 'tsconfig.json']],
  ['types of the core, without Node and DOM', bin('tsc'), ['-p', 'tsconfig.core.json']],
  ['types of the page', bin('tsc'), ['-p', 'tsconfig.page.json']],
  ['types of the page with its tests', bin('tsc'), ['-p', 'tsconfig.page-tests.json']],
  ['lint', bin('eslint'), ['.']],
  ['layers', bin('depcruise'), ['src', '--config', '.dependency-cruiser.cjs']],
  ['unused code', bin('knip'), []],
  ['format', bin('prettier'), ['--check', '--log-level', 'warn', '.']],
  ['build', process.execPath, ['scripts/build.mjs']],
  ['build the page', process.execPath, ['scripts/build-page.mjs']],
  ['generated pages', process.execPath, ['scripts/docs.mjs', '--check']],
  [
    'tests',
    bin('vitest'),
    ['run', '--coverage', '--reporter=default', '--reporter=json', `--outputFile.json=${results}`],
  ],
];

const failed = [];
for (const [name, command, args] of steps) {
  console.log(`\n== ${name}`);
  const { status, error } = spawnSync(command, args, {
    cwd: root,
    stdio: 'inherit',
    shell: process.platform === 'win32',
  });
  if (error) console.error(error.message);
  if (status !== 0) failed.push(name);
}

const counts = readCounts();
rmSync(folder, { recursive: true, force: true });
const checks = steps.length - 1;
const failedChecks = failed.filter((name) => name !== 'tests').length;
if (failed.length > 0) console.log(`\nnot passed: ${failed.join(', ')}`);
console.log(
  `\n${counts.passed + checks - failedChecks} passed, ${counts.failed + failedChecks} failed, ${counts.skipped} skipped`,
);
process.exit(failed.length > 0 || counts.passed === 0 ? 1 : 0);

function readCounts() {
  try {
    const summary = JSON.parse(readFileSync(results, 'utf8'));
    return {
      passed: summary.numPassedTests,
      failed: summary.numFailedTests + summary.numFailedTestSuites * (summary.numFailedTests === 0 ? 1 : 0),
      skipped: summary.numPendingTests + summary.numTodoTests,
    };
  } catch {
    return { passed: 0, failed: 1, skipped: 0 };
  }
}
