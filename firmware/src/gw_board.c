#include "gw_check.h"
#include "gw_core.h"
#include "gw_memory.h"

/* Where the parts of the caller's memory begin; the last one ends at `size`. Parts of larger words first. */
struct layout {
  size_t touched_at;
  size_t published;
  size_t failsafes;
  size_t queues;
  size_t values;
  size_t states;
  size_t touched;
  size_t cccds;
  size_t prepared;
  size_t pdu;
  size_t copy;
  size_t events;
  size_t size;
};

static size_t larger(size_t a, size_t b) { return a > b ? a : b; }

static size_t cccd_octets(const uint8_t *table) { return (gw_header(table, GW_AT_CCCDS) + (size_t)1) / 2; }

/* Room for the tells and notes that one event can bring at once, besides what the build asks for. */
static size_t event_octets(const uint8_t *table) {
  if (GW_EVENT_OCTETS == 0) return 0;
  return (size_t)GW_EVENT_OCTETS + gw_header(table, GW_AT_LONGEST_VALUE) +
         (size_t)32 * gw_header(table, GW_AT_FAILSAFES);
}

static void lay_out(const uint8_t *table, struct layout *layout) {
  size_t definitions = gw_header(table, GW_AT_DEFINITIONS);
  size_t size = 0;
  layout->touched_at = size;
  size += 4 * (size_t)gw_table_values(table);
  layout->published = size;
  size += 2 * sizeof(struct gw_time) * gw_header(table, GW_AT_CCCDS);
  layout->failsafes = size;
  size += sizeof(struct gw_time) * gw_header(table, GW_AT_FAILSAFES);
  layout->queues = size;
  size += (size_t)2 * GW_CONNECTIONS * gw_header(table, GW_AT_INDICATABLE);
  layout->values = size;
  size += gw_header(table, GW_AT_VALUE_OCTETS);
  layout->states = size;
  size += definitions;
  layout->touched = size;
  size += gw_table_values(table);
  layout->cccds = size;
  size += GW_CONNECTIONS * cccd_octets(table);
  layout->prepared = size;
  size += (size_t)GW_CONNECTIONS * gw_header(table, GW_AT_PREPARE_QUEUE);
  layout->pdu = size;
  size += larger(gw_header(table, GW_AT_MTU), gw_header(table, GW_AT_LONGEST_WRITABLE));
  layout->copy = size;
  size += gw_header(table, GW_AT_LONGEST_VALUE);
  layout->events = size;
  size += event_octets(table);
  layout->size = (size + 3) & ~(size_t)3;
}

size_t gw_board_memory(const uint8_t *table, size_t size) {
  if (!gw_table_check(table, size)) return 0;
  struct layout layout;
  lay_out(table, &layout);
  return layout.size;
}

static void power_up(struct gw_board *board) {
  const uint8_t *table = board->table;
  for (uint16_t number = 0; number < gw_header(table, GW_AT_DEFINITIONS); number++) {
    const uint8_t *definition = gw_definition(table, number);
    struct gw_span start = gw_definition_start(table, definition);
    uint8_t *slot = board->values + gw_definition_slot(definition);
    if (gw_definition_min(definition) != gw_definition_max(definition)) {
      gw_put16(slot, start.length);
      slot += 2;
    }
    memcpy(slot, start.octets, start.length);
  }
  for (unsigned i = 0; i < 2U * gw_header(table, GW_AT_CCCDS); i++) gw_set_time(&board->published[i], GW_NEVER);
  for (unsigned i = 0; i < gw_header(table, GW_AT_FAILSAFES); i++) gw_set_time(&board->failsafes[i], GW_NEVER);
}

enum gw_status gw_board_init(struct gw_board *board, const uint8_t *table, size_t size, void *memory,
                             size_t memory_size, const struct gw_port *port) {
  if (!gw_table_check(table, size)) return GW_ERROR_TABLE;
  struct layout layout;
  lay_out(table, &layout);
  if (memory_size < layout.size || ((uintptr_t)memory & 3U) != 0) return GW_ERROR_MEMORY;
  uint8_t *octets = memory;
  uint32_t *words = memory;
  memset(octets, 0, layout.size);
  memset(board, 0, sizeof *board);
  board->table = table;
  board->port = *port;
  board->touched_at = words + layout.touched_at / 4;
  board->published = (struct gw_time *)(void *)(words + layout.published / 4);
  board->failsafes = (struct gw_time *)(void *)(words + layout.failsafes / 4);
  board->queues = (uint16_t *)(void *)(words + layout.queues / 4);
  board->values = octets + layout.values;
  board->states = octets + layout.states;
  board->touched = octets + layout.touched;
  board->cccds = octets + layout.cccds;
  board->prepared = octets + layout.prepared;
  board->pdu = octets + layout.pdu;
  board->copy = octets + layout.copy;
  board->events = octets + layout.events;
  board->event_room = (uint16_t)event_octets(table);
  board->micros = port->micros(port->user);
  power_up(board);
  gw_event_note(board, GW_EVENT_ADVERTISING, 1, 0, 0);
  return GW_OK;
}

void gw_board_on_change(struct gw_board *board, gw_changed changed, void *user) {
  board->changed = changed;
  board->changed_user = user;
}

void gw_clock(struct gw_board *board) {
  uint32_t micros = board->port.micros(board->port.user);
  uint32_t passed = micros - board->micros;
  board->micros = micros;
  board->now += passed;
  uint32_t rest = passed % 1000U;
  board->ms += passed / 1000U;
  board->ms_part += rest;
  if (board->ms_part >= 1000U) {
    board->ms_part -= 1000U;
    board->ms++;
  }
}

uint32_t gw_board_ms(struct gw_board *board) {
  gw_lock(board);
  gw_clock(board);
  uint32_t ms = board->ms;
  gw_unlock(board);
  return ms;
}

struct gw_span gw_kept(const struct gw_board *board, uint16_t number) {
  const uint8_t *definition = gw_definition(board->table, number);
  struct gw_span kept = {board->values + gw_definition_slot(definition), gw_definition_max(definition)};
  if (gw_definition_min(definition) != kept.length) {
    kept.length = gw_u16(kept.octets);
    kept.octets += 2;
  }
  return kept;
}

void gw_take(struct gw_board *board, uint16_t number, const uint8_t *value, uint16_t length, enum gw_cause cause) {
  struct gw_span before = gw_kept(board, number);
  if (before.length == length && memcmp(before.octets, value, length) == 0) return;
  const uint8_t *definition = gw_definition(board->table, number);
  uint8_t *slot = board->values + gw_definition_slot(definition);
  if (gw_definition_min(definition) != gw_definition_max(definition)) {
    gw_put16(slot, length);
    slot += 2;
  }
  memcpy(slot, value, length);
  if (!gw_is_value(board, number)) return;
  struct gw_note tell = {GW_EVENT_TELL, (uint8_t)cause, number, 0, value, length};
  gw_event_put(board, &tell);
  board->states[number] =
      (uint8_t)((board->states[number] & ~(unsigned)GW_STATE_CAUSE) | GW_STATE_CHANGED | (unsigned)cause);
  gw_policy_changed(board, number, gw_definition_cccd(definition));
}

void gw_touch(struct gw_board *board, uint16_t number, enum gw_access how) {
  if (!gw_is_value(board, number)) return;
  board->touched[number] = (uint8_t)how;
  board->touched_at[number] = board->ms;
}

enum gw_status gw_board_set(struct gw_board *board, uint16_t index, const uint8_t *value, uint16_t length,
                            enum gw_cause cause) {
  if (!gw_is_value(board, index)) return GW_ERROR_INDEX;
  enum gw_status status = gw_check_value(board->table, gw_definition(board->table, index), value, length);
  if (status != GW_OK) return status;
  gw_lock(board);
  gw_clock(board);
  gw_take(board, index, value, length, cause);
  gw_unlock(board);
  return GW_OK;
}

const uint8_t *gw_board_get(const struct gw_board *board, uint16_t index, uint16_t *length) {
  if (!gw_is_value(board, index)) return NULL;
  struct gw_span kept = gw_kept(board, index);
  *length = kept.length;
  return kept.octets;
}

uint16_t gw_board_copy(struct gw_board *board, uint16_t index, uint8_t *value, uint16_t room) {
  if (!gw_is_value(board, index)) return 0;
  gw_lock(board);
  struct gw_span kept = gw_kept(board, index);
  memcpy(value, kept.octets, kept.length < room ? kept.length : room);
  gw_unlock(board);
  return kept.length;
}

/* Tells the handler of each change, once for the latest. @return whether it made a change that is still to be told */
static bool run_handlers(struct gw_board *board) {
  bool again = false;
  for (uint16_t index = 0; index < gw_table_values(board->table); index++) {
    if ((board->states[index] & GW_STATE_CHANGED) == 0) continue;
    gw_lock(board);
    enum gw_cause cause = (enum gw_cause)(board->states[index] & GW_STATE_CAUSE);
    board->states[index] &= (uint8_t)~(unsigned)GW_STATE_CHANGED;
    struct gw_span kept = gw_kept(board, index);
    if (board->changed != NULL) memcpy(board->copy, kept.octets, kept.length);
    gw_unlock(board);
    if (board->changed != NULL) board->changed(board->changed_user, index, board->copy, kept.length, cause);
  }
  for (uint16_t index = 0; index < gw_table_values(board->table); index++) {
    if ((board->states[index] & GW_STATE_CHANGED) != 0) again = true;
  }
  return again;
}

static uint64_t earlier(uint64_t a, uint64_t b) { return a < b ? a : b; }

uint32_t gw_board_poll(struct gw_board *board) {
  gw_lock(board);
  gw_clock(board);
  uint64_t next = gw_failsafe_run(board);
  gw_unlock(board);
  bool again = run_handlers(board);
  gw_lock(board);
  gw_indicate_expire(board);
  next = earlier(next, gw_publish_due(board));
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    gw_notify_owed(board, &board->links[i]);
    gw_indicate_next(board, &board->links[i]);
  }
  next = earlier(next, gw_indicate_expire(board));
  uint64_t now = board->now;
  gw_unlock(board);
  if (again) return 0;
  if (next == GW_NEVER) return UINT32_MAX;
  /* Once an hour at least, for the clock's sake. */
  return next <= now ? 0 : (uint32_t)earlier(next - now, 3600000000U);
}
