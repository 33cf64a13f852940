/* A board with its console in a process, for tests: acts with their times come on standard input, the console's octets go
   to standard output. An act is its letter, the time (4 octets, microseconds), a length (2 octets) and so many octets:
   `t` nothing, `c` typed octets, `o` opens connection [0] of the address [1..6], `x` closes connection [0] ([1]: lost 0,
   terminated 1), `a` PDU [1..] on connection [0], `s` security [1] of connection [0], `r` whether lines can be printed. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "gw_console.h"
#include "gw_value.h"

struct bench {
  struct gw_board board;
  struct gw_console console;
  uint32_t now;
  bool ready;
  bool ended[GW_CONNECTIONS];
};

static uint32_t micros(void *user) { return ((const struct bench *)user)->now; }

static bool att_send(void *user, gw_connection connection, const uint8_t *pdu, uint16_t length) {
  (void)user;
  (void)connection;
  (void)pdu;
  (void)length;
  return true;
}

static void disconnect(void *user, gw_connection connection) {
  ((struct bench *)user)->ended[connection] = true;
}

static void print(void *user, const uint8_t *octets, size_t length) {
  (void)user;
  (void)fwrite(octets, 1, length, stdout);
}

static bool ready(void *user, uint32_t octets) {
  (void)octets;
  return ((const struct bench *)user)->ready;
}

static uint32_t poll(struct bench *bench) {
  uint32_t wait = gw_board_poll(&bench->board);
  gw_console_poll(&bench->console);
  return wait;
}

/** Connections end a moment after they were asked to. */
static void end_connections(struct bench *bench) {
  gw_connection connection;
  for (connection = 0; connection < GW_CONNECTIONS; connection++) {
    if (!bench->ended[connection]) continue;
    bench->ended[connection] = false;
    gw_att_close(&bench->board, connection, GW_TERMINATED);
    (void)poll(bench);
  }
}

/** Lets time pass, with all that becomes due on the way. */
static void advance(struct bench *bench, uint32_t to) {
  uint32_t wait = poll(bench);
  while (wait < to - bench->now) {
    bench->now += wait;
    wait = poll(bench);
  }
  bench->now = to;
  (void)poll(bench);
}

static void act(struct bench *bench, uint8_t what, const uint8_t *octets, uint16_t length) {
  struct gw_peer peer = {1, {0}};
  size_t taken = 0;
  switch (what) {
    case 'c':
      while (taken < length) {
        size_t more = gw_console_receive(&bench->console, octets + taken, (size_t)(length - taken));
        taken += more;
        (void)poll(bench);
        end_connections(bench);
        if (more == 0 && !bench->ready) break;
      }
      break;
    case 'o':
      memcpy(peer.address, octets + 1, 6);
      gw_att_open(&bench->board, octets[0], &peer);
      break;
    case 'x':
      gw_att_close(&bench->board, octets[0], octets[1] == 0 ? GW_LOST : GW_TERMINATED);
      break;
    case 'a':
      gw_att_receive(&bench->board, octets[0], octets + 1, (uint16_t)(length - 1));
      break;
    case 's':
      gw_att_secure(&bench->board, octets[0], (enum gw_security)octets[1], 16);
      break;
    case 'r':
      bench->ready = octets[0] != 0;
      break;
    default:
      break;
  }
}

static uint8_t *allocate(size_t octets) {
  uint8_t *memory = (uint8_t *)malloc(octets);
  if (memory == NULL) exit(3);
  return memory;
}

int main(int argc, char **argv) {
  struct bench bench;
  struct gw_port port = {&bench, micros, att_send, disconnect, NULL, NULL};
  struct gw_console_port console = {&bench, print, ready};
  uint8_t head[7];
  uint8_t octets[4096];
  uint8_t *table = allocate(65536);
  FILE *file = argc > 1 ? fopen(argv[1], "rb") : NULL;
  size_t size = file == NULL ? 0 : fread(table, 1, 65536, file);
  size_t memory_size = gw_board_memory(table, size);
  uint8_t *memory = allocate(memory_size + 1);
  if (file != NULL) (void)fclose(file);
  memset(&bench, 0, sizeof bench);
  bench.ready = true;
  if (gw_board_init(&bench.board, table, size, memory, memory_size, &port) != GW_OK) return 2;
  size_t line_size = gw_console_memory(table);
  uint8_t *line = allocate(line_size);
  if (!gw_console_init(&bench.console, &bench.board, line, line_size, &console)) return 2;
  (void)poll(&bench);
  while (fread(head, sizeof head, 1, stdin) == 1) {
    uint16_t length = (uint16_t)gw_get_le(head + 5, 2);
    if (length > sizeof octets || fread(octets, 1, length, stdin) != length) return 4;
    advance(&bench, gw_get_le(head + 1, 4));
    act(&bench, head[0], octets, length);
    (void)poll(&bench);
  }
  free(line);
  free(memory);
  free(table);
  return 0;
}
