import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { concat, u16le, type Bytes } from '../../../src/base/bytes.ts';
import { packTable } from '../../../src/emit/packed-table/pack-table.ts';
import { arbitraryHciPacket } from '../../support/arbitrary-hci.ts';
import { boardTable } from '../../support/board-table.ts';
import { repository, runTool, strictFlags } from './tool.ts';

const firmware = join(repository, 'firmware');

/** Inputs that a fuzzer begins with, an input a line; what it finds is added by hand. */
export function hostCorpus(): readonly Bytes[] {
  const lines = readFileSync(join(firmware, 'tests', 'corpus', 'host.hex'), 'utf8')
    .trim()
    .split('\n');
  return lines.map((line) => Uint8Array.from(Buffer.from(line, 'hex')));
}

/** Compiles firmware/tests/host_fuzz.c with the sanitizers; with `fuzzer` as a program that makes its own inputs. */
export function buildHostFuzz(folder: string, { fuzzer }: { readonly fuzzer: boolean }): string {
  const program = join(folder, fuzzer ? 'host-fuzz' : 'host-replay');
  const sources = readdirSync(join(firmware, 'src')).filter((name) => name.endsWith('.c') && !isOfTheConsole(name));
  runTool('clang', [
    ...strictFlags,
    ...['-g', '-O1', '-fno-omit-frame-pointer', '-fno-sanitize-recover=all'],
    `-fsanitize=address,undefined${fuzzer ? ',fuzzer' : ''}`,
    ...(fuzzer ? ['-DGW_FUZZER'] : []),
    ...['-DGW_CONNECTIONS=2', `-I${join(firmware, 'include')}`, `-I${join(firmware, 'src')}`, '-o', program],
    join(firmware, 'tests', 'host_fuzz.c'),
    ...sources.map((name) => join(firmware, 'src', name)),
  ]);
  return program;
}

/** What only a console or a generated program needs: compiling it under sanitizers takes its time. */
function isOfTheConsole(name: string): boolean {
  return /^gw_(?:console|command|screen|show|typed|words|nearest|out|value|drive)/.test(name);
}

/** Writes the table that the program works with. */
export function writeFuzzTable(folder: string): string {
  const packed = packTable(boardTable());
  if (!packed.ok) throw new Error(packed.why);
  const path = join(folder, 'table.bin');
  writeFileSync(path, packed.bytes);
  return path;
}

/** A central that connects, with handle 0x40: most of what the host does needs one. */
const connected = Uint8Array.of(0x04, 0x3e, 19, 1, 0, 0x40, 0, 1, 1, 1, 0, 0, 0, 0, 0xc4, 24, 0, 0, 0, 0x90, 1, 0);

/** Inputs in the form that host_fuzz.c reads: packets cut anywhere, with time between. */
export const arbitraryHostInput: fc.Arbitrary<Bytes> = fc
  .array(fc.tuple(arbitraryHciPacket, fc.constantFrom(0, 0, 0, 1, 100, 255), fc.nat(40)), { maxLength: 30 })
  .map((packets) =>
    concat(
      [connected.length, 0],
      connected,
      ...packets.flatMap(([packet, time, cut]) => [
        piece(packet.subarray(0, cut), time),
        piece(packet.subarray(cut, cut + 255), 0),
      ]),
    ),
  );

function piece(octets: Bytes, time: number): Bytes {
  return concat([octets.length, time], octets);
}

/** Inputs one behind the other, each behind its length, as the program reads them. */
export function joinInputs(inputs: readonly Bytes[]): Bytes {
  return concat(...inputs.flatMap((input) => [u16le(input.length), input]));
}
