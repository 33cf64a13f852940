import { toHex, type Bytes } from '../../base/bytes.ts';
import type { Table } from '../../table/model.ts';
import { Writer } from '../writer.ts';
import { blockComment } from './comment.ts';
import { consoleOctets } from './memory.ts';
import type { RenderedValue } from './render-value.ts';

export type BoardText = {
  readonly prefix: string;
  readonly values: readonly RenderedValue[];
  readonly tableOctets: number;
  /** A C expression of octets. */
  readonly memory: string;
  /** Least significant octet first. */
  readonly address: Bytes;
};

/** `<board>.h`: all that a person reads who writes the program of the board. */
export function renderHeader(table: Table, { prefix, values, tableOctets, memory, address }: BoardText): string {
  const upper = prefix.toUpperCase();
  const writer = new Writer();
  writer.line(`#ifndef ${upper}_H`).line(`#define ${upper}_H`).gap();
  writer.line('#include "gw_board.h"');
  writer.line('#include "gw_host.h"');
  writer.line('#include "gw_machine.h"').gap();
  writer.lines([
    `#ifndef ${upper}_CONSOLE`,
    `#define ${upper}_CONSOLE 1 /* 0: no console, for a chip with one serial port */`,
    '#endif',
  ]);
  writer.lines([`#if ${upper}_CONSOLE`, '#include "gw_console.h"', '#endif']).gap();
  writer.lines(['#ifdef __cplusplus', 'extern "C" {', '#endif']).gap();
  writer.lines(
    blockComment([
      `${table.board.name}: its values, as the contract says. Raw values are the codes that cross the air; all numbers are integers.`,
      'Call everything here from the main loop only, never from an interrupt.',
    ]),
  );
  writer.gap().line(`#define ${upper}_TABLE_SIZE ${tableOctets}u`);
  writer.line(`extern const uint8_t ${prefix}_table[${upper}_TABLE_SIZE];`).gap();
  writer.lines(
    blockComment(['Memory of the values, connections and events; grows with GW_CONNECTIONS and GW_EVENT_OCTETS.']),
  );
  writer.line(`#define ${upper}_MEMORY_OCTETS ${memory}`);
  writer.line(`#define ${upper}_MEMORY_WORDS ((${upper}_MEMORY_OCTETS + 3u) / 4u)`);
  writer.line(`#define ${upper}_HOST_OCTETS GW_HOST_MEMORY(${table.radio.connection.mtu}u)`);
  writer.line(`#define ${upper}_LINE_OCTETS ${consoleOctets(table)}u /* the longest line on the console */`);
  writer.line(`#define ${upper}_VALUES ${table.values.length}u`);
  writer
    .gap()
    .lines(
      blockComment([
        `The random static address where the machine has none of its own, least significant octet first: ${toHex(address.slice().reverse(), ':').toUpperCase()}. It follows from the board's name and unit.`,
      ]),
    );
  const octets = [...address].map((octet) => `0x${octet.toString(16).toUpperCase().padStart(2, '0')}`);
  writer.line(`#define ${upper}_ADDRESS {${octets.join(', ')}}`);
  for (const { macros, types } of values) {
    writer.gap().lines(macros);
    if (types.length > 0) writer.gap().lines(types);
  }
  writer.gap().lines(blockComment(['Everything of one board; the caller owns it.']));
  writer.block(`struct ${prefix} {`, '};', () => {
    writer.line('struct gw_board board;');
    writer.line('struct gw_host host;');
    writer.line('struct gw_machine *machine;');
    writer.line(`#if ${upper}_CONSOLE`.trim());
    writer.line('struct gw_console console;');
    writer.line(`uint8_t line[${upper}_LINE_OCTETS];`);
    writer.line('#endif');
    writer.line(`uint32_t memory[${upper}_MEMORY_WORDS];`);
    writer.line(`uint8_t frames[${upper}_HOST_OCTETS];`);
  });
  writer
    .gap()
    .lines(blockComment(['Powers the board up on a machine that is open. Returns GW_OK, or why it cannot be.']));
  writer.line(`enum gw_status ${prefix}_init(struct ${prefix} *board, struct gw_machine *machine);`).gap();
  writer.lines(
    blockComment([
      'Takes what has arrived, does what is due, calls the handlers. Returns the microseconds until it next wants to run; UINT32_MAX: not before something arrives. Call it again after changing values.',
    ]),
  );
  writer.line(`uint32_t ${prefix}_poll(struct ${prefix} *board);`);
  for (const { declarations, name } of values)
    writer.gap().line(`/* ${name} */`.replaceAll('_', '-')).lines(declarations);
  const handlers = values.flatMap(({ handler }) => (handler === undefined ? [] : [`${handler};`]));
  if (handlers.length > 0) {
    writer
      .gap()
      .lines(
        blockComment([
          `Change handlers: you write them, in app.c. ${prefix}_poll calls one after a client, the console or a failsafe changed the value; the latest of several changes counts. \`cause\` says who it was.`,
        ]),
      );
    writer.lines(handlers);
  }
  writer.gap().lines(['#ifdef __cplusplus', '}', '#endif']).line('#endif');
  return unindentDirectives(writer.text());
}

/** Directives begin in the first column, wherever they stand. */
function unindentDirectives(text: string): string {
  return text.replace(/^ +#/gm, '#');
}
