import { sha256 } from '@noble/hashes/sha2.js';
import type { SourceRange } from '../../base/text-range.ts';
import type { Bytes } from '../../base/bytes.ts';
import type { Table } from '../../table/model.ts';
import { encodeUtf8 } from '../../values/utf8.ts';
import type { Artifact, Origin } from '../artifact.ts';
import { packTable } from '../packed-table/pack-table.ts';
import { stamped } from '../stamp.ts';
import { memoryExpression } from './memory.ts';
import { Names, prefixOf } from './names.ts';
import { renderApp } from './render-app.ts';
import { renderCmake } from './render-cmake.ts';
import { renderHeader, type BoardText } from './render-header.ts';
import { renderReadme } from './render-readme.ts';
import { renderSource } from './render-source.ts';
import { renderTable } from './render-table.ts';
import { renderValue } from './render-value.ts';

export type FirmwareOptions = {
  readonly origin: Origin;
  /** What every name begins with; default: from the board's name. */
  readonly prefix?: string;
  /** The hand-written C, by its path below `firmware/`: `include/…`, `src/…`, `ports/…`. Copied as it is. */
  readonly runtime: readonly { readonly path: string; readonly content: string }[];
  /** The line of the contract that a place is in, from 1; 0 for what stands nowhere in it. */
  readonly lineOf: (place: SourceRange) => number;
};

/** The files; or in one sentence why there are none, and what to do. */
export type Emitted =
  | { readonly ok: true; readonly prefix: string; readonly artifacts: readonly Artifact[] }
  | { readonly ok: false; readonly why: string; readonly remedy: string };

/** The firmware of a board as a folder of C99 that builds as it is. */
export function emitFirmware(table: Table, options: FirmwareOptions): Emitted {
  const packed = packTable(table);
  if (!packed.ok) return packed;
  const prefix = options.prefix ?? prefixOf(table.board.name, table.board.unit);
  const board = boardText(table, prefix, packed.bytes, options);
  const runtime = options.runtime.map(({ path, content }) => ({
    path: path.startsWith('ports/') ? path : `runtime/${path}`,
    content,
    owner: 'generated' as const,
  }));
  const lineOf = options.lineOf;
  const made: Artifact[] = [
    { path: 'app.c', content: renderApp(table, prefix, board.values), owner: 'student' },
    { path: `${prefix}.h`, content: renderHeader(table, board), owner: 'generated' },
    { path: `${prefix}.c`, content: renderSource(board), owner: 'generated' },
    {
      path: `${prefix}_table.c`,
      content: renderTable(table, { prefix, bytes: packed.bytes, parts: packed.parts, lineOf: ({ at }) => lineOf(at) }),
      owner: 'generated',
    },
    { path: 'README.md', content: renderReadme(table, prefix), owner: 'generated' },
    {
      path: 'CMakeLists.txt',
      content: renderCmake(
        prefix,
        runtime.map(({ path }) => path),
      ),
      owner: 'generated',
    },
  ];
  return { ok: true, prefix, artifacts: [...made, ...runtime].map((artifact) => stamped(artifact, options.origin)) };
}

function boardText(table: Table, prefix: string, packed: Bytes, options: FirmwareOptions): BoardText {
  const names = { macros: new Names(), functions: new Names(), tags: new Names() };
  const upper = prefix.toUpperCase();
  for (const macro of [
    'H',
    'CONSOLE',
    'TABLE_SIZE',
    'MEMORY_OCTETS',
    'MEMORY_WORDS',
    'LINE_OCTETS',
    'HOST_OCTETS',
    'VALUES',
    'ADDRESS',
  ]) {
    names.macros.unique(`${upper}_${macro}`);
  }
  for (const taken of ['init', 'poll', 'table']) names.functions.unique(`${prefix}_${taken}`);
  names.tags.unique(prefix);
  const context = { prefix, ...names, lineOf: ({ at }: { readonly at: SourceRange }) => options.lineOf(at) };
  return {
    prefix,
    values: table.values.map((definition) => renderValue(definition, context)),
    tableOctets: packed.length,
    memory: memoryExpression(table, packed),
    address: addressOf(table),
  };
}

/**
 * A random static address (Core Vol 6 Part B 1.3.2.1: the upper two bits are 1) that follows from the board's name and
 * unit: boards of one class differ, and a board keeps its address. Least significant octet first.
 */
function addressOf(table: Table): Bytes {
  const hash = sha256(
    encodeUtf8(`${table.board.name}\n${table.board.unit}\n${table.services.map(({ uuid }) => uuid).join('\n')}`),
  );
  const address = hash.slice(0, 6);
  address[5] = (address[5] ?? 0) | 0xc0;
  return address;
}
