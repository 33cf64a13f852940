/* What a controller may say to the host, for a fuzzer and for replay under sanitizers. The controller is a good one
   until the host is ready; then it says the input's octets; then it is a good one again, and the host must become
   ready.

   Input: pieces of {u8 octets, u8 time in units of 10 ms, the octets}. The table is the file that GW_TABLE names. */
#include "gw_host.h"
#include "gw_le.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

enum { TABLE_ROOM = 65536, ANSWERS = 4096, LONGEST_PACKET = 70000 };

static uint8_t table[TABLE_ROOM];
static size_t table_size;

static struct controller {
  uint32_t now;
  size_t answers; /* octets that wait to be read by the host */
  uint8_t answer[ANSWERS];
  bool good;
  bool jammed; /* takes no octets */
  unsigned in_flight;
} controller;

static void fail(const char *why) {
  fprintf(stderr, "host_fuzz: %s\n", why);
  abort();
}

static void say(const uint8_t *octets, size_t length) {
  if (controller.answers + length > ANSWERS) return;
  memcpy(controller.answer + controller.answers, octets, length);
  controller.answers += length;
}

/* Command Complete with success and what the host wants to know. */
static void answer(uint16_t opcode) {
  uint8_t event[16] = {0x04, 0x0E, 4, 1, 0, 0, 0};
  gw_put16(event + 4, opcode);
  if (opcode == 0x1001 || opcode == 0x2003 || opcode == 0x2018) event[2] = 12;
  if (opcode == 0x2003) event[7] = 0x20;
  if (opcode == 0x2018) memcpy(event + 7, "\x01\x02\x03\x04\x05\x06\x07\x08", 8);
  if (opcode == 0x2002) {
    event[2] = 7;
    event[7] = 27;
    event[9] = 4;
  }
  say(event, 3U + event[2]);
}

static bool take(void *user, const uint8_t *octets, size_t length) {
  (void)user;
  if (controller.jammed) return false;
  /* Whole packets only. */
  if (octets[0] == 1) {
    if (length < 4 || length != 4U + octets[3]) fail("a command is not whole");
    if (controller.good) answer(gw_u16(octets + 1));
    if (gw_u16(octets + 1) == 0x0C03) controller.in_flight = 0;
  } else if (octets[0] == 2) {
    if (length < 6 || length != 5U + gw_u16(octets + 3) || length > 5 + 27) fail("a fragment is not whole");
    controller.in_flight++;
  } else {
    fail("a host sends commands and data");
  }
  return true;
}

static uint32_t micros(void *user) {
  (void)user;
  return controller.now;
}

struct rig {
  struct gw_board board;
  struct gw_host host;
};

static void poll(struct rig *rig) {
  for (unsigned turns = 0; turns < 10000; turns++) {
    uint32_t board = gw_board_poll(&rig->board);
    uint32_t host = gw_host_poll(&rig->host);
    if (controller.answers > 0) {
      uint8_t octets[ANSWERS];
      size_t length = controller.answers;
      memcpy(octets, controller.answer, length);
      controller.answers = 0;
      gw_host_receive(&rig->host, octets, length);
    } else if (board > 0 && host > 0) {
      return;
    }
  }
  fail("the host never rests");
}

static void become_ready(struct rig *rig) {
  for (unsigned seconds = 0; seconds < 10 && !rig->host.controller.ready; seconds++) {
    poll(rig);
    controller.now += 1000000;
  }
  poll(rig);
  if (!rig->host.controller.ready) fail("the host does not become ready");
}

static void read_table(void) {
  const char *name = getenv("GW_TABLE");
  FILE *file = name == NULL ? NULL : fopen(name, "rb");
  if (file == NULL) fail("GW_TABLE names no file");
  table_size = fread(table, 1, sizeof table, file);
  fclose(file);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  static const struct gw_host_port port = {NULL, take, micros};
  static const uint8_t zeros[256];
  if (table_size == 0) read_table();
  /* Memory of exactly the size asked for, so that a sanitizer sees what goes beyond it. */
  struct rig *rig = malloc(sizeof *rig);
  size_t board_size = gw_board_memory(table, table_size);
  if (board_size == 0) fail("no sound table");
  void *board_memory = malloc(board_size);
  size_t host_size = gw_host_memory(table);
  void *host_memory = malloc(host_size);
  struct gw_port board_port;
  memset(&controller, 0, sizeof controller);
  controller.good = true;
  gw_host_fill_port(&rig->host, &port, &board_port);
  if (gw_board_init(&rig->board, table, table_size, board_memory, board_size, &board_port) != GW_OK) fail("board");
  if (gw_host_init(&rig->host, &rig->board, host_memory, host_size, NULL) != GW_OK) fail("host");
  become_ready(rig);
  controller.good = size % 2 == 0;
  while (size >= 2) {
    size_t length = data[0] < size - 2 ? data[0] : size - 2;
    controller.now += data[1] * UINT32_C(10000);
    controller.jammed = data[1] == 0xFF;
    /* A copy that ends where the octets end. */
    uint8_t *octets = malloc(length + 1);
    memcpy(octets, data + 2, length);
    gw_host_receive(&rig->host, octets, length);
    free(octets);
    poll(rig);
    data += 2 + length;
    size -= 2 + length;
  }
  controller.good = true;
  controller.jammed = false;
  /* An octet that begins no packet; the first may be taken for data of one. */
  for (size_t said = 0; said < LONGEST_PACKET && rig->host.controller.ready; said += sizeof zeros) {
    gw_host_receive(&rig->host, zeros, sizeof zeros);
  }
  controller.now += 5000000;
  become_ready(rig);
  free(host_memory);
  free(board_memory);
  free(rig);
  return 0;
}

#ifndef GW_FUZZER
/* Inputs on standard input, each behind its length in two octets. */
int main(void) {
  uint8_t length[2];
  static uint8_t input[65536];
  unsigned count = 0;
  while (fread(length, 1, 2, stdin) == 2) {
    size_t octets = fread(input, 1, gw_u16(length), stdin);
    LLVMFuzzerTestOneInput(input, octets);
    count++;
  }
  printf("%u inputs\n", count);
  return 0;
}
#endif
