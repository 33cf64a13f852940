import fc from 'fast-check';
import { beforeAll, expect, it } from 'vitest';
import type { Table } from '../../src/table/model.ts';
import {
  buildConsoleBench,
  comparable,
  hiddenIds,
  linesInC,
  linesInTypeScript,
  record,
  writeTable,
  type Act,
} from './support/console-bench.ts';
import { examples, exampleSource, tableOf } from './support/emitted.ts';
import { describeWith, runTool, temporaryFolder } from './support/tool.ts';

type Board = {
  readonly name: string;
  readonly table: Table;
  readonly path: string;
  readonly hidden: ReadonlySet<string>;
};

/** Types a line every 10 ms. */
function session(...lines: readonly string[]): Act[] {
  return lines.map((line, i) => ({ kind: 'typed', at: 10_000 * (i + 1), line }));
}

const att = {
  write: (handle: number, ...octets: number[]): number[] => [0x12, handle & 0xff, handle >> 8, ...octets],
  read: (handle: number): number[] => [0x0a, handle & 0xff, handle >> 8],
};

describeWith(['clang'], 'the console in C', () => {
  const folder = temporaryFolder();
  let binary = '';
  const boards = new Map<string, Board>();
  beforeAll(() => {
    binary = buildConsoleBench(folder);
    for (const name of examples) {
      const table = tableOf(exampleSource(name));
      boards.set(name, { name, table, path: writeTable(folder, name, table), hidden: hiddenIds(table) });
    }
  }, 60_000);
  const board = (name: string): Board => {
    const found = boards.get(name);
    if (found === undefined) throw new Error(name);
    return found;
  };
  const compare = ({ table, path, hidden }: Board, acts: readonly Act[]): string[] => {
    const printed = linesInC(binary, path, acts);
    const clean = (lines: readonly string[]) => lines.map((line) => comparable(line, hidden));
    expect(clean(printed)).toEqual(clean(linesInTypeScript(table, acts)));
    return printed;
  };

  it.each(examples)('lists, gets and sets the values of %s as the one in TypeScript does', (name) => {
    const { table } = board(name);
    const sets = table.values.flatMap(({ id, start, minLength, maxLength }) => [
      `get ${id}`,
      `set ${id} =${Buffer.from(start).toString('hex')}`,
      `set ${id} =${'00'.repeat(minLength)}`,
      `set ${id} =${'ff'.repeat(maxLength)}`,
      `set ${id} =${'7f'.repeat(maxLength)}`,
      `set ${id} =${'00'.repeat(maxLength + 1)}`,
      `get ${id}`,
    ]);
    compare(
      board(name),
      session('help', 'list', 'hash', 'time', 'clients', ...sets, 'list', `get ${table.values[0]?.id}x`),
    );
  });

  it('takes physical forms and refuses others', () => {
    const typed = [
      ...['1.25', '1.25 Hz', '1.25Hz', '0x3', '+2', '-0', '.5', '5e-1', '0.005', '0.015', '0.015000000000000000000'],
      ...['4.01', '9', '1e30', '-1', 'abc', '', '1.5 V', '1,5', '1.', '1e', '--1', '0.025'],
    ].map((value) => `set paddle ${value}`);
    const lines = compare(
      board('wave-tank'),
      session(
        ...typed,
        ...['true', 'ON', 'off', '0', '1', 'tru', '2'].map((value) => `set light ${value}`),
        ...['rhodamine', 'Fluorescein', '0', '0x1', '3', '300', '4294967296', 'none ', 'rhodamin'].map(
          (v) => `set dye ${v}`,
        ),
        ...['-27.5', '-27.505', 'unknown', '327.67', '-273.15', '-300', '21.375 °C'].map(
          (value) => `set water ${value}`,
        ),
        ...[
          'hello',
          ' two  words ',
          'tab\\tbackslash\\\\',
          '\\x3dsign',
          '\\u00e9\\ud83d\\ude00',
          '\\q',
          'é😀',
          '\\ud83d',
        ].map((value) => `set note ${value}`),
        'set note =',
        'get note',
        'list',
      ),
    );
    expect(lines).toContain('tell 10 paddle 7d00 console');
    expect(lines).toContain(
      'error set bad-argument a backslash begins \\\\\\\\, \\\\n, \\\\r, \\\\t, \\\\xHH or \\\\uHHHH',
    );
  });

  it('takes names of flags and fractions of other scales', () => {
    compare(
      board('greenhouse'),
      session(
        ...['frost', 'frost, too hot', 'none', '', '3', 'bit 7', 'bit 5', 'frost, none', 'FROST ,door open', 'ice'].map(
          (value) => `set alarms ${value}`,
        ),
        ...['1.2345', '0.0005', '0.0015', '3.3 V', '3.301'].map((value) => `set soil ${value}`),
        'list',
      ),
    );
    compare(
      board('seismograph'),
      session('set elapsed =000080000000', 'get elapsed', 'set elapsed 0.5', 'set elapsed 3', 'get elapsed', 'list'),
    );
    compare(
      board('telescope'),
      session('set angle -12.3456785', 'get angle', 'set focus -0.00123', 'set focus 1', 'set rate 0.25', 'get focus'),
    );
  });

  it('draws the screen of any size', () => {
    const sizes = ['80x24', '40x30', '72x4', '71x5', '20x4', '200x100', '40x6 2', '40x6 99', '99x10 3'];
    const bad = ['19x4', '20x3', '201x9', '80', 'x24', '80x24x', '80x24 0', '80x24 01', '80x24 1 2', '80x 24'];
    const { table, path, hidden } = board('wave-tank');
    const acts: Act[] = [
      { kind: 'connect', at: 1000, connection: 0 },
      { kind: 'pdu', at: 1_000_000, connection: 0, pdu: att.write(0x22, 1, 0) },
      { kind: 'pdu', at: 2_000_000, connection: 0, pdu: att.write(0x26, 0x7d, 0) },
      { kind: 'typed', at: 3_000_000, line: 'set note a "quoted" \\\\ back\\nslash' },
      ...[0, 9_000_000, 100_000_000, 4_000_000_000].flatMap((later) =>
        [...sizes, ...bad].map((size): Act => ({ kind: 'typed', at: 3_100_000 + later, line: `screen ${size}` })),
      ),
    ];
    const labels = table.values.filter(({ id }) => hidden.has(id)).map(({ label }) => label.slice(0, 6));
    const shown = (lines: readonly string[]) =>
      lines.filter((line) => labels.every((label) => !line.startsWith(`screen ${label}`)));
    expect(shown(linesInC(binary, path, acts))).toEqual(shown(linesInTypeScript(table, acts)));
  });

  it('tells of clients, subscriptions, refusals, failsafes and drops', () => {
    const lines = compare(board('wave-tank'), [
      { kind: 'connect', at: 5_000, connection: 0 },
      { kind: 'typed', at: 6_000, line: 'clients' },
      { kind: 'pdu', at: 7_000, connection: 0, pdu: [0x02, 185, 0] },
      { kind: 'pdu', at: 8_000, connection: 0, pdu: att.write(0x22, 1, 0) },
      { kind: 'pdu', at: 9_000, connection: 0, pdu: att.write(0x26, 0xff, 0xff) },
      { kind: 'pdu', at: 10_000, connection: 0, pdu: att.read(0x40) },
      { kind: 'pdu', at: 11_000, connection: 0, pdu: att.write(0x26, 100, 0) },
      { kind: 'connect', at: 12_000, connection: 1 },
      { kind: 'typed', at: 13_000, line: 'clients' },
      { kind: 'typed', at: 14_000, line: 'drop 7' },
      { kind: 'typed', at: 15_000, line: 'drop 2' },
      { kind: 'typed', at: 16_000, line: 'clients' },
      { kind: 'disconnect', at: 20_000, connection: 0, lost: true },
      { kind: 'connect', at: 1_000_000, connection: 0 },
      { kind: 'pdu', at: 1_100_000, connection: 0, pdu: att.write(0x26, 101, 0) },
      { kind: 'typed', at: 1_200_000, line: 'drop all' },
      { kind: 'wait', at: 5_000_000 },
      { kind: 'typed', at: 5_000_000, line: 'tell off' },
      { kind: 'typed', at: 5_100_000, line: 'set paddle 2' },
      { kind: 'typed', at: 5_200_000, line: 'tell on' },
      { kind: 'typed', at: 5_300_000, line: 'set paddle 3' },
    ]);
    expect(lines.some((line) => line.startsWith('note 3200 armed') || line.includes(' armed paddle '))).toBe(true);
    expect(lines).toContain('tell 3200 paddle 0000 failsafe');
  });

  it('survives whatever is typed, and says the same as the one in TypeScript', () => {
    const words = [
      'help',
      'list',
      'get',
      'set',
      'clients',
      'hash',
      'time',
      'tell',
      'screen',
      'drop',
      'hlep',
      'sett',
      '-',
    ];
    const ids = board('wave-tank').table.values.map(({ id }) => id);
    const blank = fc.constantFrom(' ', '  ', '\t', ' \t ');
    const piece = fc.oneof(
      fc.constantFrom(...words, ...ids, 'on', 'off', 'all', '1', '2', '80x24', '=00', '=', '= 0 1', '=ab-cd:ef', '0.5'),
      fc.stringMatching(/^[a-z0-9=\\.x-]{1,12}$/),
      fc.constantFrom('é', '😀😀', '\u2028', '\u0001', '\\x4', '\u00a0', 'padle', 'screen-', 'calib', 'battery'),
    );
    const line = fc
      .tuple(fc.constantFrom('', ' ', '\t'), fc.array(fc.tuple(piece, blank), { maxLength: 5 }), fc.nat(400))
      .map(
        ([lead, parts, more]) =>
          lead + parts.map((part) => part.join('')).join('') + (more > 390 ? 'z'.repeat(more) : ''),
      )
      .filter((text) => !/[\r\n]/.test(text));
    fc.assert(
      fc.property(fc.array(line, { minLength: 20, maxLength: 60 }), (lines) => {
        compare(board('wave-tank'), session(...lines.filter((text) => !/\bscreen\b/.test(text))));
      }),
      { numRuns: 60 },
    );
  });

  it('reads octets of any kind without harm', () => {
    fc.assert(
      fc.property(fc.array(fc.uint8Array({ maxLength: 300 }), { maxLength: 20 }), (pieces) => {
        const input = Buffer.concat(pieces.map((octets, i) => record('c', i * 1000, octets)));
        const printed = runTool(binary, [board('seismograph').path], { input }).toString();
        for (const text of printed.split('\r\n').slice(0, -1)) {
          expect(text).toMatch(/^(?:tell|note|value|client|hash|time|screen|help|done|error) /);
        }
      }),
      { numRuns: 60 },
    );
  });

  it('takes a line end of each kind, and takes back characters', () => {
    const input = record('c', 0, Buffer.from('tixé\b\b\bime\rtime\r\ntime\n\n\x7f\x7fhash\b\b\b\b\btime\r'));
    const printed = runTool(binary, [board('wave-tank').path], { input })
      .toString()
      .split('\r\n');
    expect(printed.filter((text) => text === 'time 0')).toHaveLength(4);
    expect(printed.filter((text) => text.startsWith('error'))).toEqual([]);
  });

  it('refuses a line that is too long or no UTF-8, and goes on', () => {
    const input = record(
      'c',
      0,
      Buffer.concat([Buffer.from(`${'x'.repeat(161)}\n`), Buffer.from([0xc3, 0x28, 10]), Buffer.from('time\n')]),
    );
    const printed = runTool(binary, [board('wave-tank').path], { input })
      .toString()
      .split('\r\n');
    expect(printed.slice(-5, -1)).toEqual([
      'error ? line-too-long a line has at most 160 octets',
      'error ? not-text a line is UTF-8 text',
      'time 0',
      'done time',
    ]);
  });

  it('drops what cannot be printed in time, counts it, and keeps answers whole', () => {
    const changes = Array.from({ length: 3000 }, (_, i) => i).map((i) =>
      record('a', 2000 + 1000 * i, Buffer.from([0, ...att.write(0x26, (i % 400) & 0xff, (i % 400) >> 8)])),
    );
    const input = Buffer.concat([
      record('o', 1000, Buffer.from([0, 1, 2, 3, 4, 5, 0xc6])),
      record('r', 1500, Buffer.of(0)),
      ...changes,
      record('r', 4_000_000, Buffer.of(1)),
      record('c', 4_001_000, Buffer.from('list\n')),
    ]);
    const printed = runTool(binary, [board('wave-tank').path], { input })
      .toString()
      .split('\r\n')
      .slice(0, -1);
    const lost = printed.flatMap((text) => /^note \d+ lost (\d+)$/.exec(text)?.[1] ?? []).map(Number);
    const told = printed.filter((text) => text.endsWith(' air'));
    expect(lost).toHaveLength(1);
    // The first write is of the value 0, and each later one changes it.
    expect(told.length + (lost[0] ?? 0)).toBe(3000);
    expect(printed.at(-1)).toBe('done list');
  });
});
