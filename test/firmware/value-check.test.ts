import fc from 'fast-check';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { toHex, type Bytes } from '../../src/base/bytes.ts';
import { packTable } from '../../src/emit/packed-table/pack-table.ts';
import { compileTable } from '../../src/table/compile.ts';
import { checkValue } from '../../src/values/check.ts';
import { lengthRange } from '../../src/values/codec.ts';
import { rational } from '../../src/base/rational.ts';
import type { ValueType } from '../../src/values/type.ts';
import { arbitraryType, isInhabited } from '../support/arbitrary-type.ts';
import { characteristic, contract, integer, service } from '../support/contract-builder.ts';
import { BoardBench, compileBoard, linkBench } from './support/board-bench.ts';
import { describeWith, temporaryFolder } from './support/tool.ts';
import { octetsOf } from './support/octets-of.ts';
import type { WasmModule } from './support/wasm.ts';

const words: Readonly<Record<number, string>> = { 0: 'allowed', [-4]: 'length', [-5]: 'encoding', [-6]: 'range' };

describeWith(['clang', 'wasm-ld'], 'the check of a value in C', () => {
  const folder = temporaryFolder();
  let module: WasmModule;

  beforeAll(() => {
    module = linkBench(compileBoard(folder).values(), join(folder, 'bench.wasm'));
  });

  /** What the C board says of each of these octets, in words. */
  const verdicts = (type: ValueType, values: readonly Bytes[]): readonly string[] => {
    const start = startOf(type, values);
    const table = compileTable(contract([service('s', [characteristic('v', type, { start })])])).value;
    const packed = table === undefined ? undefined : packTable(table);
    if (packed?.ok !== true) throw new Error(packed?.why ?? 'no table');
    const bench = new BoardBench(module);
    expect(bench.start(packed.bytes)).toBe(0);
    return values.map((value) => words[bench.check(0, value)] ?? '?');
  };

  it('says the same as the check in TypeScript, of any octets of any type', () => {
    const octets = arbitraryType()
      .filter((type) => isInhabited(type) && lengthRange(type).max <= 512)
      .chain((type) => fc.tuple(fc.constant(type), fc.array(octetsOf(type), { minLength: 1, maxLength: 30 })));
    fc.assert(
      fc.property(octets, ([type, values]) => {
        const expected = values.map((value) => checkValue(type, value)?.reason ?? 'allowed');
        expect(verdicts(type, values).map((word, i) => `${toHex(values[i]!)} ${word}`)).toEqual(
          expected.map((word, i) => `${toHex(values[i]!)} ${word}`),
        );
      }),
      { numRuns: 400 },
    );
  });

  it.each<[what: string, type: ValueType, value: string, verdict: string]>([
    ['UTF-8 of every length', text('utf8'), '61c3a9e282acf09f9880', 'allowed'],
    ['an overlong form, RFC 3629 section 4', text('utf8'), 'c080', 'encoding'],
    ['an overlong form of three octets', text('utf8'), 'e09fbf', 'encoding'],
    ['a surrogate in UTF-8', text('utf8'), 'eda080', 'encoding'],
    ['a number above U+10FFFF', text('utf8'), 'f4908080', 'encoding'],
    ['a cut character', text('utf8'), '61c3', 'encoding'],
    ['a pair of surrogates', text('utf16'), '3dd800de', 'allowed'],
    ['half a pair', text('utf16'), '3dd86100', 'encoding'],
    ['a pair the wrong way round', text('utf16'), '00de3dd8', 'encoding'],
    ['half a unit', text('utf16'), '610062', 'encoding'],
    // IEEE 11073-20601 Annex F: 0x07FF is NaN, 0x17FF neither number nor special value.
    ['a special value of a medical float', medfloat(undefined), 'ff07', 'allowed'],
    ['a mantissa beyond the numbers with an exponent', medfloat(undefined), 'ff17', 'encoding'],
    ['a special value where a range is given', medfloat([0, 20]), 'ff07', 'range'],
    ['200 * 10^-1, the bound in other digits', medfloat([0, 20]), 'c8f0', 'allowed'],
    ['201 * 10^-1', medfloat([0, 20]), 'c9f0', 'range'],
    ['-0 in a range from 0', float([0, 1]), '00000080', 'allowed'],
    ['NaN where a range is given', float([0, 1]), '0000c07f', 'range'],
    ['the next float above 1', float([0, 1]), '0100803f', 'range'],
    ['a sint12 whose upper bits repeat its sign', integer(true, 12), '00f8', 'allowed'],
    ['a sint12 whose upper bits do not', integer(true, 12), '0008', 'encoding'],
    ['the least of a sint128', integer(true, 128, { range: [-1, 1] }), 'ff'.repeat(16), 'allowed'],
    ['one below', integer(true, 128, { range: [-1, 1] }), `fe${'ff'.repeat(15)}`, 'range'],
  ])('%s', (_, type, value, verdict) => {
    const octets = Uint8Array.from(Buffer.from(value, 'hex'));
    expect(verdicts(type, [octets])).toEqual([verdict]);
    expect(checkValue(type, octets)?.reason ?? 'allowed').toBe(verdict);
  });
});

function text(encoding: 'utf8' | 'utf16'): ValueType {
  return { kind: 'text', encoding, minLength: 0, maxLength: 20 };
}

function ranged(
  range: readonly [number, number] | undefined,
): { min: ReturnType<typeof rational>; max: ReturnType<typeof rational> } | undefined {
  return range === undefined ? undefined : { min: rational(range[0]), max: rational(range[1]) };
}

function medfloat(range: readonly [number, number] | undefined): ValueType {
  return { kind: 'float', format: 'medfloat16', unit: 0x2700, range: ranged(range), step: undefined };
}

function float(range: readonly [number, number]): ValueType {
  return { kind: 'float', format: 'float32', unit: 0x2700, range: ranged(range), step: undefined };
}

/** A start value that the packed table takes: the length matters only. */
function startOf(type: ValueType, values: readonly Bytes[]): Bytes {
  const { min } = lengthRange(type);
  return values.find(({ length }) => length === min) ?? new Uint8Array(min);
}
