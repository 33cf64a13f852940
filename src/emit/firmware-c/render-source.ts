import { Writer } from '../writer.ts';
import type { BoardText } from './render-header.ts';

/** `<board>.c`: the parts of the runtime joined to one board, and the functions of its values. */
export function renderSource({ prefix, values }: BoardText): string {
  const writer = new Writer();
  writer.line(`#include "${prefix}.h"`).gap().line('#include "gw_value.h"').gap();
  for (const { definitions } of values) {
    for (const definition of definitions) writer.lines(definition.trimEnd().split('\n')).gap();
  }
  const dispatch = values.flatMap((value) => value.dispatch);
  if (dispatch.length > 0) renderDispatch(writer, prefix, dispatch);
  return `${writer.text()}\n${lifeCycle(prefix, dispatch.length > 0)}`;
}

function renderDispatch(writer: Writer, prefix: string, cases: readonly string[]): void {
  writer.line('/** Calls the handler of a value that others changed. */');
  writer.block(
    'static void changed(void *user, uint16_t index, const uint8_t *octets, uint16_t length, enum gw_cause cause) {',
    '}',
    () => {
      writer.lines([
        `struct ${prefix} *board = (struct ${prefix} *)user;`,
        '(void)length;',
        'if (cause == GW_START || cause == GW_RIG) return;',
      ]);
      writer.block('switch (index) {', '}', () => writer.lines([...cases, 'default:', '  break;']));
    },
  );
}

function lifeCycle(prefix: string, hasHandlers: boolean): string {
  const upper = prefix.toUpperCase();
  const handlers = hasHandlers ? '\n  gw_board_on_change(&board->board, changed, board);' : '';
  return `enum gw_status ${prefix}_init(struct ${prefix} *board, struct gw_machine *machine) {
  const struct gw_host_port radio = {machine, gw_machine_radio_send, gw_machine_micros};
  struct gw_port port = {NULL, NULL, NULL, NULL, NULL, NULL};
  uint8_t address[6] = ${upper}_ADDRESS;
  enum gw_status status;
  board->machine = machine;
  gw_host_fill_port(&board->host, &radio, &port);
  status = gw_board_init(&board->board, ${prefix}_table, ${upper}_TABLE_SIZE, board->memory, sizeof board->memory, &port);
  if (status != GW_OK) return status;${handlers}
  (void)gw_machine_address(machine, address);
  status = gw_host_init(&board->host, &board->board, board->frames, sizeof board->frames, address);
  if (status != GW_OK) return status;
#if ${upper}_CONSOLE
  {
    struct gw_console_port console = {machine, gw_machine_console_print, gw_machine_console_ready};
    if (!gw_console_init(&board->console, &board->board, board->line, sizeof board->line, &console)) {
      return GW_ERROR_MEMORY;
    }
  }
#endif
  return GW_OK;
}

uint32_t ${prefix}_poll(struct ${prefix} *board) {
  uint8_t octets[64];
  uint32_t board_wait;
  uint32_t host_wait;
  size_t length = gw_machine_radio_read(board->machine, octets, sizeof octets);
  while (length > 0) {
    gw_host_receive(&board->host, octets, length);
    length = gw_machine_radio_read(board->machine, octets, sizeof octets);
  }
#if ${upper}_CONSOLE
  while (!gw_console_waits(&board->console) && gw_machine_console_read(board->machine, octets, 1) == 1) {
    (void)gw_console_receive(&board->console, octets, 1);
  }
#endif
  board_wait = gw_board_poll(&board->board);
  host_wait = gw_host_poll(&board->host);
#if ${upper}_CONSOLE
  gw_console_poll(&board->console);
#endif
  return board_wait < host_wait ? board_wait : host_wait;
}
`;
}
