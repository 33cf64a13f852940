/* The board alone, above ATT, as a WebAssembly module for tests: time is what the test says, what the board sends lies in a
   log, and all of its state can be looked at. */
#include "gw_check.h"
#include "gw_core.h"
#include "gw_memory.h"

#define EXPORT(name) __attribute__((export_name(#name)))

enum { TABLE_ROOM = 65536, MEMORY_WORDS = 65536, LOG_ROOM = 65536, BUFFER_ROOM = 4096 };

/* Kinds of log entries: kind, connection, u16 octets, octets. */
enum { SENT, ENDED, TOLD };

static GW_TABLE_ALIGNED uint8_t table[TABLE_ROOM];
static uint32_t memory[MEMORY_WORDS];
static uint8_t output[LOG_ROOM];
static uint8_t buffer[BUFFER_ROOM];
static size_t logged;
static uint32_t clock_now;
static uint32_t room_for_sends = UINT32_MAX;
static uint32_t locks;
static uint32_t wrong_locks;
static struct gw_board board;

static void append(uint8_t kind, uint8_t which, const uint8_t *octets, uint16_t length) {
  if (logged + 4 + length > LOG_ROOM) __builtin_trap();
  output[logged] = kind;
  output[logged + 1] = which;
  gw_put16(output + logged + 2, length);
  if (length > 0) memcpy(output + logged + 4, octets, length);
  logged += 4U + length;
}

static uint32_t micros(void *user) {
  (void)user;
  return clock_now;
}

static bool att_send(void *user, gw_connection connection, const uint8_t *pdu, uint16_t length) {
  (void)user;
  bool initiated = pdu[0] == 0x1B || pdu[0] == 0x1D || pdu[0] == 0x23;
  if (initiated && room_for_sends == 0) return false;
  if (initiated && room_for_sends != UINT32_MAX) room_for_sends--;
  append(SENT, connection, pdu, length);
  return true;
}

static void disconnect(void *user, gw_connection connection) {
  (void)user;
  append(ENDED, connection, NULL, 0);
}

static void lock(void *user) {
  (void)user;
  if (locks++ != 0) wrong_locks++;
}

static void unlock(void *user) {
  (void)user;
  if (locks-- != 1) wrong_locks++;
}

static void changed(void *user, uint16_t index, const uint8_t *value, uint16_t length, enum gw_cause cause) {
  (void)user;
  if (locks != 0) wrong_locks++;
  memcpy(buffer + BUFFER_ROOM / 2 + 4, value, length);
  gw_put16(buffer + BUFFER_ROOM / 2, index);
  gw_put16(buffer + BUFFER_ROOM / 2 + 2, (uint16_t)cause);
  append(TOLD, 0, buffer + BUFFER_ROOM / 2, (uint16_t)(length + 4));
}

EXPORT(table_at) uint8_t *table_at(void) { return table; }
EXPORT(buffer_at) uint8_t *buffer_at(void) { return buffer; }
EXPORT(log_at) uint8_t *log_at(void) { return output; }
EXPORT(connections) uint32_t connections(void) { return GW_CONNECTIONS; }
EXPORT(context_size) uint32_t context_size(void) { return sizeof board; }
EXPORT(memory_size) uint32_t memory_size(uint32_t size) { return gw_board_memory(table, size); }
EXPORT(locks_wrong) uint32_t locks_wrong(void) { return wrong_locks + locks; }
EXPORT(set_time) void set_time(uint32_t now) { clock_now = now; }
EXPORT(set_room) void set_room(uint32_t sends) { room_for_sends = sends; }

EXPORT(log_length) uint32_t log_length(void) {
  uint32_t length = logged;
  logged = 0;
  return length;
}

EXPORT(start) int32_t start(uint32_t size, uint32_t room) {
  struct gw_port port = {NULL, micros, att_send, disconnect, lock, unlock};
  /* Memory is not clean on a chip either. */
  memset(memory, 0xA5, sizeof memory);
  memset(&board, 0xA5, sizeof board);
  logged = 0;
  room_for_sends = UINT32_MAX;
  int32_t status = gw_board_init(&board, table, size, memory, room, &port);
  if (status == GW_OK) gw_board_on_change(&board, changed, NULL);
  return status;
}

EXPORT(poll) uint32_t poll(void) { return gw_board_poll(&board); }

EXPORT(open) void open(uint32_t connection, uint32_t address) {
  struct gw_peer peer = {1, {0}};
  gw_put32(peer.address, address);
  gw_att_open(&board, (gw_connection)connection, &peer);
}

EXPORT(close) void close(uint32_t connection, uint32_t end) {
  gw_att_close(&board, (gw_connection)connection, (enum gw_end)end);
}

EXPORT(receive) void receive(uint32_t connection, uint32_t length) {
  gw_att_receive(&board, (gw_connection)connection, buffer, (uint16_t)length);
}

EXPORT(secure) void secure(uint32_t connection, uint32_t security, uint32_t key_size) {
  gw_att_secure(&board, (gw_connection)connection, (enum gw_security)security, (uint8_t)key_size);
}

EXPORT(set) int32_t set(uint32_t index, uint32_t length, uint32_t cause) {
  return gw_board_set(&board, (uint16_t)index, buffer, (uint16_t)length, (enum gw_cause)cause);
}

EXPORT(database_changed) void database_changed(uint32_t first, uint32_t last) {
  gw_att_database_changed(&board, (uint16_t)first, (uint16_t)last);
}

/* Values and, behind them, descriptions. */
EXPORT(kept) uint32_t kept(uint32_t number) {
  struct gw_span span = gw_kept(&board, (uint16_t)number);
  memcpy(buffer, span.octets, span.length);
  return span.length;
}

EXPORT(check) int32_t check(uint32_t number, uint32_t length) {
  return gw_check_value(table, gw_definition(table, (uint16_t)number), buffer, (uint16_t)length);
}

EXPORT(last_access) uint32_t last_access(uint32_t index) {
  uint32_t ms = 0;
  enum gw_access how = gw_board_last_access(&board, (uint16_t)index, &ms);
  gw_put32(buffer, ms);
  return (uint32_t)how;
}

EXPORT(subscription) uint32_t subscription(uint32_t connection, uint32_t cccd) {
  return gw_subscription(&board, &board.links[connection], (uint16_t)cccd);
}

EXPORT(link_state) void link_state(uint32_t connection) {
  const struct gw_link *link = &board.links[connection];
  gw_put32(buffer, link->client);
  gw_put16(buffer + 4, link->mtu);
  buffer[6] = link->features;
  buffer[7] = link->awareness;
  gw_put16(buffer + 8, link->prepared);
  gw_put16(buffer + 10, link->queued);
  buffer[12] = (link->flags & GW_LINK_INDICATING) != 0;
  buffer[13] = (link->flags & GW_LINK_DEAD) != 0;
}

EXPORT(advertises) uint32_t advertises(void) { return gw_board_advertises(&board); }

/* The oldest event in the buffer: kind, cause, detail, peer's 7 octets, u16 index, u16 octets, u32 ms, u32 number, value. */
EXPORT(next_event) uint32_t next_event(void) {
  struct gw_event event;
  if (!gw_board_next_event(&board, &event)) return 0;
  buffer[0] = (uint8_t)event.kind;
  buffer[1] = (uint8_t)event.cause;
  buffer[2] = event.detail;
  memcpy(buffer + 3, &event.peer, 7);
  gw_put16(buffer + 10, event.index);
  gw_put16(buffer + 12, event.length);
  gw_put32(buffer + 14, event.ms);
  gw_put32(buffer + 18, event.number);
  if (event.length > 0) memcpy(buffer + 22, event.value, event.length);
  return 1;
}
