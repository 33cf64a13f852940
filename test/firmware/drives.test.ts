import { readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { renderDrive, type DriveFunction } from '../../src/emit/firmware-c/render-drive.ts';
import { check } from '../../src/table/check.ts';
import { runPlan } from '../../src/values/drives/run-plan.ts';
import { arbitraryDrive, integerType } from '../support/arbitrary-drive.ts';
import { describeWith, repository, runTool, strictFlags, temporaryFolder } from './support/tool.ts';

type Named = DriveFunction & { readonly name: string; readonly ofExample: boolean };

/** Codes to drive: of every width up to 64 bits, whole and scaled. */
const arbitraryCode = fc
  .record({
    bits: fc.constantFrom(8 as const, 12 as const, 16 as const, 24 as const, 32 as const, 48 as const, 64 as const),
    signed: fc.boolean(),
    decimal: fc.integer({ min: -6, max: 0 }),
  })
  .map(integerType);

/** Every drive of the examples, and many others of every kind. */
function drives(): Named[] {
  const found: Named[] = [];
  const add = (made: DriveFunction | undefined, name: string, ofExample: boolean) => {
    if (made !== undefined) found.push({ ...made, name, ofExample });
  };
  for (const example of readdirSync(join(repository, 'examples'))) {
    const { value } = check(readFileSync(join(repository, 'examples', example, 'contract.yaml')));
    for (const { id, drive, type, label } of value?.table.values ?? []) {
      if (drive === undefined || type.kind !== 'integer') continue;
      const name = `${example.replace('-', '_')}_${id}`;
      add(renderDrive(drive, type, name, label), name, true);
    }
  }
  expect(found.length).toBeGreaterThanOrEqual(6);
  for (const [i, [drive, type]] of fc
    .sample(fc.tuple(arbitraryDrive, arbitraryCode), { numRuns: 120, seed: 1 })
    .entries()) {
    add(renderDrive(drive, type, `drive_${i}`, 'Any'), `drive_${i}`, false);
  }
  return found;
}

/** Reads records of function number and input, answers each with the words. */
function program(functions: readonly Named[]): string {
  const parts = ['#include <stdint.h>', '#include <stdio.h>', '#include <string.h>'];
  for (const { struct, prototype, definition } of functions) parts.push(...struct, `${prototype};`, definition);
  parts.push('static void put(uint64_t word) { (void)fwrite(&word, 8, 1, stdout); }', 'int main(void) {');
  parts.push('  uint8_t record[9];', '  while (fread(record, 9, 1, stdin) == 1) {');
  parts.push('    uint64_t input;', '    memcpy(&input, record + 1, 8);', '    switch (record[0]) {');
  for (const [i, { name, plan, struct }] of functions.entries()) {
    const { input, words } = plan;
    const bits = [8, 16, 32, 64].find((width) => width >= input.bits) ?? 64;
    const argument = `(${input.signed ? '' : 'u'}int${bits}_t)input`;
    const fields = struct.slice(1, -1).map((line) => line.trim().split(' ')[1]?.replace(';', '') ?? '');
    const calls =
      words.length === 1
        ? `put((uint64_t)${name}(${argument}));`
        : `{ struct ${name}_words words; ${name}(${argument}, &words); ${fields.map((field) => `put(words.${field});`).join(' ')} }`;
    parts.push(`      case ${i}: ${calls} break;`);
  }
  return [...parts, '      default: return 1;', '    }', '  }', '  return 0;', '}', ''].join('\n');
}

function inputsOf({ plan: { input }, ofExample }: Named): bigint[] {
  const size = input.to - input.from + 1n;
  if (ofExample && size <= 0x10000n) return Array.from({ length: Number(size) }, (_, i) => input.from + BigInt(i));
  const sample = fc.sample(fc.bigInt({ min: input.from, max: input.to }), { numRuns: 200, seed: 2 });
  return [input.from, input.to, input.from + (size > 1n ? 1n : 0n), ...sample];
}

describeWith(['gcc', 'clang'], 'drives in C', () => {
  const folder = temporaryFolder();
  it('give the words of the plan: examples for every code, others sampled', () => {
    const functions = drives();
    const source = join(folder, 'drives.c');
    writeFileSync(source, program(functions));
    const records: Buffer[] = [];
    const expected: bigint[] = [];
    for (const [i, drive] of functions.entries()) {
      for (const input of inputsOf(drive)) {
        const record = Buffer.alloc(9);
        record[0] = i;
        record.writeBigUInt64LE(BigInt.asUintN(64, input), 1);
        records.push(record);
        expected.push(...runPlan(drive.plan, input).map((word) => BigInt.asUintN(64, word)));
      }
    }
    for (const compiler of ['gcc', 'clang']) {
      const binary = join(folder, `drives-${compiler}`);
      const sanitize = compiler === 'clang' ? ['-fsanitize=undefined', '-fno-sanitize-recover=all'] : [];
      runTool(compiler, [...strictFlags, '-O1', ...sanitize, source, '-o', binary]);
      const answer = runTool(binary, [], { input: Buffer.concat(records) });
      const words = new BigUint64Array(answer.buffer.slice(answer.byteOffset, answer.byteOffset + answer.length));
      expect(words).toHaveLength(expected.length);
      expect(words.findIndex((word, at) => word !== expected[at])).toBe(-1);
    }
  }, 60_000);
});
