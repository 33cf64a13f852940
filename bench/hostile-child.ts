import { readFileSync } from 'node:fs';
import { performance } from 'node:perf_hooks';
import { check } from '../src/table/check.ts';

// Checks the file named on the command line and prints findings, milliseconds and the most memory the process had.
const [, , path = ''] = process.argv;
const bytes = readFileSync(path);
const start = performance.now();
const { findings } = check(bytes);
const elapsed = performance.now() - start;
console.log(
  JSON.stringify({
    elapsed,
    maxRssMb: process.resourceUsage().maxRSS / 1024,
    findings: findings.length,
    first: findings[0]?.code,
  }),
);
