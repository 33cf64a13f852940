import { emitters } from '../emit/registry.ts';
import { boardKinds } from '../links/boards.ts';
import type { Command, OptionDeclaration } from './command.ts';

const format = (...kinds: readonly string[]): OptionDeclaration => ({
  name: 'format',
  about: `how the result is written: ${kinds.join(', ')}; default text`,
  value: { name: 'FORMAT', kind: { oneOf: kinds } },
});

const contract = {
  name: 'FILE',
  about: 'a contract, or a folder that holds a contract.yaml; - reads standard input',
  kind: 'contract',
} as const;

const seed: OptionDeclaration = {
  name: 'seed',
  about: 'the number that all chance comes from; default 1',
  value: { name: 'N', kind: 'number' },
};

const rig: OptionDeclaration = {
  name: 'rig',
  about:
    'the simulated world: a module, or `default` for the built-in one; default: rig.ts or rig.js beside the contract',
  value: { name: 'RIG', kind: 'path' },
};

const board: OptionDeclaration = {
  name: 'board',
  about: `the board behind the radio: ${boardKinds.map(({ name, about }) => `${name} (${about})`).join(', ')}`,
  value: { name: 'BOARD', kind: { oneOf: boardKinds.map(({ name }) => name) } },
};

const loss: OptionDeclaration = {
  name: 'loss',
  about: 'of 1000 packets on the air, so many are lost; default 0',
  value: { name: 'N', kind: 'number' },
};

const record: OptionDeclaration = {
  name: 'record',
  about: 'write the air and each host’s HCI to a capture file (pcapng)',
  value: { name: 'FILE', kind: 'path' },
};

/** Every command, in the order help lists them. */
export const commands: readonly Command[] = [
  {
    name: 'new',
    summary: 'start a contract in a folder',
    about:
      'Writes a first contract, with comments, into FOLDER. `--like` copies one of the examples with its rig instead. ' +
      'Each new contract gets a UUID base of its own. Nothing that is there already is written over.',
    arguments: [{ name: 'FOLDER', about: 'made if it is missing', kind: 'path' }],
    options: [
      { name: 'name', about: 'the board’s name; default: the folder’s', value: { name: 'NAME', kind: 'text' } },
      { name: 'like', about: 'start from an example', value: { name: 'EXAMPLE', kind: 'text' } },
      format('text', 'json'),
    ],
    examples: [
      { line: 'gattwright new my-board', about: 'a first contract in my-board/' },
      { line: 'gattwright new tank-2 --like wave-tank', about: 'a copy of the demo to change' },
    ],
    load: () => import('./run/new.ts'),
  },
  {
    name: 'check',
    summary: 'find every mistake in a contract',
    about:
      'Prints each finding with its place, the excerpt and a remedy. Ends with 1 if there is an error; with --strict also if ' +
      'there is a warning that is not waived.',
    arguments: [contract],
    options: [format('text', 'json'), { name: 'strict', about: 'warnings count as errors' }],
    examples: [{ line: 'gattwright check examples/wave-tank', about: 'the demo' }],
    load: () => import('./run/check.ts'),
  },
  {
    name: 'explain',
    summary: 'say what a finding means',
    about:
      'Prints why the finding matters, where the rule comes from, and a contract with and without it. Without CODE: all codes.',
    arguments: [
      { name: 'CODE', about: 'as printed in brackets behind a finding', kind: 'finding-code', optional: true },
    ],
    options: [format('text', 'json')],
    examples: [{ line: 'gattwright explain unknown-key', about: 'one code' }],
    load: () => import('./run/explain.ts'),
  },
  {
    name: 'table',
    summary: 'print the attribute table and its hash',
    about:
      'Handles, types, permissions and values exactly as the board has them, the database hash, and the advertising data.',
    arguments: [contract],
    options: [format('text', 'json')],
    examples: [{ line: 'gattwright table examples/wave-tank --format json', about: 'for a program' }],
    load: () => import('./run/table.ts'),
  },
  {
    name: 'board',
    summary: 'run the virtual board with its console',
    about:
      'The board’s console is this terminal: type `help`. A line that starts with @ is an act of a central beside it: ' +
      '`@connect`, `@read ID`, `@write ID VALUE`, `@subscribe ID`, `@lose`. Ends with Ctrl-C or the end of standard input.',
    arguments: [contract],
    options: [
      seed,
      rig,
      { name: 'for', about: 'end after this time', value: { name: 'TIME', kind: 'time' } },
      { name: 'fast', about: 'virtual time: a line `@wait TIME` lets it pass, nothing else does' },
    ],
    examples: [
      { line: 'gattwright board examples/wave-tank', about: 'type `get paddle`, then `@connect`, `@write paddle 2`' },
    ],
    load: () => import('./run/board.ts'),
  },
  {
    name: 'prove',
    summary: 'prove case by case that a board does what its contract says',
    about:
      'Derives the cases from the contract and runs them on the board. Ends with 0 if none failed, 1 if any did. A case that ' +
      'the link cannot reach is counted so, never as passed.',
    arguments: [contract],
    options: [
      format('text', 'json', 'junit'),
      {
        name: 'report',
        about: 'also write a page for people; a file that is not ours is kept',
        value: { name: 'FILE', kind: 'path' },
      },
      { name: 'only', about: 'a family, or a case id with * for any part', value: { name: 'PATTERN', kind: 'text' } },
      { name: 'list', about: 'list the cases, run none' },
      { name: 'long', about: 'the long soak: hours of virtual time' },
      {
        name: 'fault',
        about: 'plant a fault in the board, to see it caught; `list` names them',
        value: { name: 'FAULT', kind: 'text' },
      },
      {
        ...board,
        about: `${board.about}; without it the virtual board is reached in memory`,
      },
      loss,
      record,
      seed,
      rig,
    ],
    examples: [
      { line: 'gattwright prove examples/wave-tank --report proof.html', about: 'the demo, with a page' },
      { line: 'gattwright prove examples/wave-tank --only writes', about: 'one family' },
      { line: 'gattwright prove examples/wave-tank --board wasm', about: 'the C runtime, over the virtual radio' },
    ],
    load: () => import('./run/prove.ts'),
  },
  {
    name: 'record',
    summary: 'record what a board holds and what crosses the air',
    about:
      'Runs the virtual board with a central beside it that reads each value once and subscribes to all, and journals the ' +
      'console and everything that crosses. Lines typed are for the board’s console, and with @ for the central, as in `board`. ' +
      'Ends with Ctrl-C, after --for, or at the end of standard input; what was recorded is kept, also when the program breaks. ' +
      'With --console it is a real board’s console that is recorded: its truth, without the air.',
    arguments: [contract],
    options: [
      { name: 'out', about: 'where the recording goes', value: { name: 'SESSION', kind: 'path' } },
      { name: 'force', about: 'write over a file that is there' },
      { name: 'for', about: 'end after this time', value: { name: 'TIME', kind: 'time' } },
      { name: 'fast', about: 'virtual time: as fast as the machine can, for --for' },
      {
        name: 'console',
        about: 'the serial port of a real board, such as /dev/ttyACM0; needs the optional package serialport',
        value: { name: 'PORT', kind: 'path' },
      },
      { name: 'baud', about: 'of that port; default 115200', value: { name: 'N', kind: 'number' } },
      seed,
      rig,
      format('text', 'json'),
    ],
    examples: [
      { line: 'gattwright record examples/wave-tank --out tank.jsonl --for "1 min"', about: 'a minute of the demo' },
    ],
    load: () => import('./run/record.ts'),
  },
  {
    name: 'replay',
    summary: 'play a recording again, line by line',
    about:
      'Prints each line of the ledger when its time comes: ■ the board’s truth, ● what crossed the air with its delay, ▲ what is ' +
      'wrong; then the statistics. Ends with 1 if anything is marked.',
    arguments: [{ name: 'SESSION', about: 'a file that `record` wrote', kind: 'path' }],
    options: [
      { name: 'speed', about: 'how often faster than it was, or `max`; default 1', value: { name: 'N', kind: 'text' } },
      { name: 'only', about: 'one value', value: { name: 'ID', kind: 'text' } },
      format('text', 'json'),
    ],
    examples: [{ line: 'gattwright replay tank.jsonl --speed 10', about: 'ten times faster' }],
    load: () => import('./run/replay.ts'),
  },
  {
    name: 'ledger',
    summary: 'account for every value of a recording',
    about:
      'Pairs each change of truth with what carried it: counts, delays (median, 95 %, worst), and marks for what was lost, late, ' +
      'duplicated, reordered, stale or wrong. --against compares two recordings. Ends with 1 if there is a mark or a difference.',
    arguments: [{ name: 'SESSION', about: 'a file that `record` wrote', kind: 'path' }],
    options: [
      { name: 'against', about: 'another recording to compare with', value: { name: 'SESSION', kind: 'path' } },
      format('text', 'json'),
    ],
    examples: [{ line: 'gattwright ledger tank.jsonl --format json', about: 'for a program' }],
    load: () => import('./run/ledger.ts'),
  },
  {
    name: 'export',
    summary: 'write a recording as CSV, Parquet, JSON lines or pcapng',
    about:
      'Values with their times, units, delays and marks; or, as pcapng, the packets, each wrapped as the central’s host sees it.',
    arguments: [{ name: 'SESSION', about: 'a file that `record` wrote', kind: 'path' }],
    options: [
      { ...format('csv', 'parquet', 'jsonl', 'pcapng'), about: 'csv, parquet, jsonl or pcapng; default csv' },
      { name: 'out', about: 'the file; - or nothing for standard output', value: { name: 'FILE', kind: 'path' } },
      { name: 'force', about: 'write over a file that is there' },
    ],
    examples: [{ line: 'gattwright export tank.jsonl --format parquet --out tank.parquet', about: 'for a notebook' }],
    load: () => import('./run/export.ts'),
  },
  {
    name: 'radio',
    summary: 'offer a controller of the virtual radio to a host',
    about:
      'Listens on a unix socket for a host that speaks HCI in H4 packets, in real time, and gives it a controller; the board ' +
      'advertises in the same room. One host at a time, one after another. Ends with Ctrl-C.',
    arguments: [contract],
    options: [
      { name: 'listen', about: 'the socket; a stale one is replaced', value: { name: 'SOCKET', kind: 'path' } },
      board,
      loss,
      record,
      seed,
      rig,
    ],
    examples: [
      {
        line: 'gattwright radio --listen /tmp/radio --board wasm examples/wave-tank',
        about: 'for any host on this machine',
      },
    ],
    load: () => import('./run/radio.ts'),
  },
  {
    name: 'budget',
    summary: 'say what a contract costs: radio time, delay, charge, room',
    about:
      'Air time, throughput, use of the link by the declared rates, delays both ways, time to be found, a room of boards, charge, ' +
      'memory, and what coding does to numbers. Each result stands with its formula, source, assumptions and the place where it ' +
      'stops being true; formulas and seeded runs stand beside each other with their difference. Charge is reckoned with invented ' +
      'figures until `--supply` gives those of your parts.',
    arguments: [contract],
    options: [
      format('text', 'json'),
      {
        name: 'part',
        about: 'only this part of the text',
        value: {
          name: 'PART',
          kind: {
            oneOf: ['air', 'throughput', 'link', 'delay', 'found', 'room', 'energy', 'memory', 'numbers'],
          },
        },
      },
      {
        name: 'loss',
        about: 'share of packets that are lost, 0.1 or 10%; default 0',
        value: { name: 'SHARE', kind: 'text' },
      },
      {
        name: 'measure',
        about: 'build the firmware for each chip and tell its real size; needs CMake and the compiler for chips',
      },
      {
        name: 'encrypted',
        about: 'whether packets are encrypted; default: if any value of the contract needs it',
        value: { name: 'WORD', kind: { oneOf: ['yes', 'no'] } },
      },
      {
        name: 'pairs',
        about: 'packet pairs that the central allows in one connection event; default: as many as there is time for',
        value: { name: 'N', kind: 'number' },
      },
      {
        name: 'supply',
        about:
          'currents and cell: a YAML or JSON file, or a preset: `coin cell`, `two AA cells`, `lithium pouch, lit display`',
        value: { name: 'FILE', kind: 'path' },
      },
      { name: 'boards', about: 'boards that advertise in one room; default 30', value: { name: 'N', kind: 'number' } },
      {
        name: 'connected',
        about: 'boards that are connected in that room; default: as many as `--boards`',
        value: { name: 'M', kind: 'number' },
      },
      {
        name: 'scan',
        about: 'how clients listen: screen, balanced, background, gateway, or WINDOW/INTERVAL: 30ms/60ms',
        value: { name: 'PATTERN', kind: 'text' },
      },
      {
        name: 'room-time',
        about: 'also run the room for so long, packet by packet: 1h',
        value: { name: 'TIME', kind: 'time' },
      },
      seed,
    ],
    examples: [
      { line: 'gattwright budget examples/wave-tank', about: 'the demo' },
      {
        line: 'gattwright budget examples/wave-tank --part room --boards 200',
        about: 'a hall full of them, and a plan for it',
      },
      {
        line: 'gattwright budget examples/greenhouse --loss 5% --supply "two AA cells"',
        about: 'a bad link and another cell',
      },
    ],
    load: () => import('./run/budget.ts'),
  },
  {
    name: 'emit',
    summary: 'make firmware from a contract',
    about:
      `Writes a folder that builds as it is. ${emitters.map(({ name, title }) => `${name}: ${title}.`).join(' ')} ` +
      'A file that was changed since it was written is not written over; app.c, the program to begin with, never.',
    arguments: [{ name: 'OUTPUT', about: 'what to make', kind: { oneOf: emitters.map(({ name }) => name) } }, contract],
    options: [
      { name: 'out', about: 'the folder; made if it is missing', value: { name: 'FOLDER', kind: 'path' } },
      {
        name: 'prefix',
        about: 'what every C name begins with; default: from the board’s name',
        value: { name: 'NAME', kind: 'text' },
      },
      { name: 'force', about: 'write over files that were changed' },
    ],
    examples: [
      {
        line: 'gattwright emit firmware-c examples/wave-tank --out tank-firmware',
        about: 'then: cmake -S tank-firmware -B build && cmake --build build',
      },
    ],
    load: () => import('./run/emit.ts'),
  },
  {
    name: 'diff',
    summary: 'say what a change of contract does to clients',
    about:
      'Sorts the changes from OLD to NEW: clients keep working, clients must discover again, clients break. Ends with 1 if any ' +
      'client breaks.',
    arguments: [
      { ...contract, name: 'OLD' },
      { ...contract, name: 'NEW' },
    ],
    options: [format('text', 'json')],
    examples: [
      { line: 'gattwright diff last-year/contract.yaml contract.yaml', about: 'before handing out this year’s' },
    ],
    load: () => import('./run/diff.ts'),
  },
  {
    name: 'schema',
    summary: 'print the JSON Schema of the contract language',
    about:
      'For editors: put `# yaml-language-server: $schema=FILE` on the first line of a contract, or map it in the settings.',
    arguments: [],
    options: [{ ...format('json'), about: 'json, which it is anyway' }],
    examples: [{ line: 'gattwright schema > contract.schema.json', about: 'once for each project' }],
    load: () => import('./run/schema.ts'),
  },
  {
    name: 'completions',
    summary: 'print completions for a shell',
    about: 'Prints a script for the shell to read.',
    arguments: [{ name: 'SHELL', about: 'bash, zsh or fish', kind: { oneOf: ['bash', 'zsh', 'fish'] } }],
    options: [],
    examples: [{ line: 'source <(gattwright completions bash)', about: 'for this shell' }],
    load: () => import('./run/completions.ts'),
  },
  {
    name: 'help',
    summary: 'say how a command is used',
    about: 'Without COMMAND: the list of commands.',
    arguments: [{ name: 'COMMAND', about: 'one of the commands', kind: 'text', optional: true }],
    options: [format('text', 'json')],
    examples: [{ line: 'gattwright help prove', about: 'one command' }],
    load: () => import('./run/help.ts'),
  },
];
