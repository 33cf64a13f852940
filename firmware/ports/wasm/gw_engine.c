/* The engine: board, host and console as one WebAssembly module that takes any packed table. It imports nothing and
   knows no time of its own: who drives it says at each call what the clock shows, and empties the two outlets
   afterwards. One instance is one board. */
#include "gw_engine.h"

#include "gw_console.h"
#include "gw_host.h"
#include "gw_memory.h"

enum { PAGE = 65536 };

/** The first octet behind what the linker laid out. */
extern uint8_t __heap_base;

static struct {
  struct gw_board board;
  struct gw_host host;
  struct gw_console console;
  struct gw_engine_outlet to_controller;
  struct gw_engine_outlet to_person;
  uint32_t micros;
  uintptr_t room;
} engine;

/* Octets that stay where they are, aligned to 8; null when memory is used up. Never given back. */
uint8_t *gw_engine_room(uint32_t octets) {
  if (engine.room == 0) engine.room = ((uintptr_t)&__heap_base + 7U) & ~(uintptr_t)7;
  uintptr_t end = engine.room + ((octets + 7U) & ~7U);
  uintptr_t pages = (end + PAGE - 1) / PAGE;
  uintptr_t there = __builtin_wasm_memory_size(0);
  if (pages > there && __builtin_wasm_memory_grow(0, pages - there) == SIZE_MAX) return NULL;
  uint8_t *room = (uint8_t *)engine.room;
  engine.room = end;
  return room;
}

static uint32_t micros(void *user) {
  (void)user;
  return engine.micros;
}

static bool put(struct gw_engine_outlet *outlet, const uint8_t *octets, size_t length) {
  if (length > GW_ENGINE_OUTLET - outlet->length) return false;
  memcpy(outlet->octets + outlet->length, octets, length);
  outlet->length += (uint32_t)length;
  return true;
}

static bool to_controller(void *user, const uint8_t *octets, size_t length) {
  (void)user;
  return put(&engine.to_controller, octets, length);
}

static void to_person(void *user, const uint8_t *octets, size_t length) {
  (void)user;
  (void)put(&engine.to_person, octets, length);
}

static bool has_room(void *user, uint32_t octets) {
  (void)user;
  return octets <= GW_ENGINE_OUTLET - engine.to_person.length;
}

int32_t gw_engine_start(const uint8_t *table, uint32_t size, const uint8_t *address, uint32_t now) {
  static const struct gw_host_port host_port = {NULL, to_controller, micros};
  static const struct gw_console_port console_port = {NULL, to_person, has_room};
  struct gw_port port;
  engine.micros = now;
  size_t memory = gw_board_memory(table, size);
  if (memory == 0) return GW_ERROR_TABLE;
  gw_host_fill_port(&engine.host, &host_port, &port);
  void *octets = gw_engine_room((uint32_t)memory);
  if (octets == NULL) return GW_ERROR_MEMORY;
  enum gw_status status = gw_board_init(&engine.board, table, size, octets, memory, &port);
  if (status != GW_OK) return status;
  memory = gw_host_memory(table);
  octets = gw_engine_room((uint32_t)memory);
  if (octets == NULL) return GW_ERROR_MEMORY;
  status = gw_host_init(&engine.host, &engine.board, octets, memory, address);
  if (status != GW_OK) return status;
  memory = gw_console_memory(table);
  octets = gw_engine_room((uint32_t)memory);
  if (octets == NULL || !gw_console_init(&engine.console, &engine.board, octets, memory, &console_port)) {
    return GW_ERROR_MEMORY;
  }
  return GW_OK;
}

struct gw_engine_outlet *gw_engine_to_controller(void) { return &engine.to_controller; }

struct gw_engine_outlet *gw_engine_to_person(void) { return &engine.to_person; }

void gw_engine_receive(const uint8_t *octets, uint32_t length, uint32_t now) {
  engine.micros = now;
  gw_host_receive(&engine.host, octets, length);
}

uint32_t gw_engine_type(const uint8_t *octets, uint32_t length, uint32_t now) {
  engine.micros = now;
  return (uint32_t)gw_console_receive(&engine.console, octets, length);
}

uint32_t gw_engine_poll(uint32_t now) {
  engine.micros = now;
  gw_console_poll(&engine.console);
  uint32_t board = gw_board_poll(&engine.board);
  uint32_t host = gw_host_poll(&engine.host);
  gw_console_poll(&engine.console);
  if (gw_console_waits(&engine.console)) return 0;
  return board < host ? board : host;
}

int32_t gw_engine_set(uint32_t index, const uint8_t *octets, uint32_t length, uint32_t cause, uint32_t now) {
  engine.micros = now;
  if (index > UINT16_MAX) return GW_ERROR_INDEX;
  if (length > UINT16_MAX) return GW_ERROR_LENGTH;
  return gw_board_set(&engine.board, (uint16_t)index, octets, (uint16_t)length, (enum gw_cause)cause);
}

uint32_t gw_engine_get(uint32_t index, uint8_t *octets, uint32_t room) {
  if (index > UINT16_MAX || room > UINT16_MAX) return 0;
  return gw_board_copy(&engine.board, (uint16_t)index, octets, (uint16_t)room);
}
