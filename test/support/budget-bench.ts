import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { CrossedPdu } from '../../src/att/link.ts';
import { us } from '../../src/base/quantity.ts';
import type { Connection } from '../../src/budget/air/connection.ts';
import { check } from '../../src/table/check.ts';
import type { Compiled } from '../../src/table/compiled.ts';
import type { Table } from '../../src/table/model.ts';
import { contractWith } from './contract-text.ts';
import { freshLink } from './proof-bench.ts';

/** The defaults of a contract: 30 ms, packets of 27 octets, MTU 23, 1M, nothing encrypted and nothing lost. */
export const plainConnection: Connection = {
  phy: '1M',
  interval: us(30_000),
  latency: 0,
  timeout: us(4_000_000),
  mtu: 23,
  dataLength: 27,
  encrypted: false,
  packetErrorRate: 0,
  mostPairs: undefined,
};

export const exampleNames = ['wave-tank', 'greenhouse', 'dimmer', 'seismograph', 'telescope'] as const;

export function exampleText(name: (typeof exampleNames)[number]): string {
  return readFileSync(fileURLToPath(new URL(`../../examples/${name}/contract.yaml`, import.meta.url)), 'utf8');
}

/** @throws Error when the text has errors */
export function compiledOf(text: string): Compiled {
  const { value, findings } = check(text);
  if (value === undefined) throw new Error(findings.map(({ message }) => message).join('\n'));
  return value;
}

export function exampleTable(name: (typeof exampleNames)[number]): Table {
  return compiledOf(exampleText(name)).table;
}

/** Octets of the PDUs that client and virtual board exchange to read, or write, a value of so many octets. */
export async function crossedBy(procedure: 'read' | 'write', octets: number, mtu: number): Promise<readonly number[]> {
  const hex = 'a5'.repeat(octets);
  const { table } = compiledOf(
    contractWith(
      `radio: { connection: { mtu: 517 } }
services:
  - id: bench
    characteristics:
      - { id: long, type: bytes, length: [0, 512], start: "${hex}", access: [read, write] }
`,
    ),
  );
  const outcome = await freshLink(table).connect();
  if (!outcome.ok) throw new Error('the virtual board does not take a connection');
  const connection = outcome.value;
  await connection.exchangeMtu(mtu);
  const found = await connection.discover();
  const target = found.ok
    ? found.value
        .flatMap(({ characteristics }) => characteristics)
        .find(({ handle }) => handle === table.values[0]?.handle)
    : undefined;
  if (target === undefined) throw new Error('the virtual board does not show its value');
  const before = connection.transcript.length;
  const done =
    procedure === 'read'
      ? await connection.read(target)
      : await connection.write(target, new Uint8Array(octets).fill(0x5a));
  if (!done.ok) throw new Error(`${procedure} of ${octets} octets failed`);
  return connection.transcript.slice(before).map(({ pdu }: CrossedPdu) => pdu.length);
}
