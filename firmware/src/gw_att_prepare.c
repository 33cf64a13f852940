/* Prepare Write and Execute Write. Prepared writes lie one behind the other, each behind one word: bits 0..9 octets, 10..19
   offset, 20..31 number of the row. */
#include "gw_att.h"
#include "gw_memory.h"

enum { ENTRY = 4, LONGEST_VALUE = 512, BEYOND = LONGEST_VALUE + 1 };

/* One prepared write; `part` points into the queue. */
struct entry {
  uint16_t row;
  uint16_t offset;
  uint16_t length;
  const uint8_t *part;
};

static uint8_t *queue_of(const struct gw_board *board, const struct gw_link *link) {
  return board->prepared + (size_t)gw_number(board, link) * gw_header(board->table, GW_AT_PREPARE_QUEUE);
}

/* Reads the entry at `*at`, which moves behind it; false at the end of the queue. */
static bool next_entry(const struct gw_request *request, unsigned *at, struct entry *entry) {
  if (*at >= request->link->prepared) return false;
  const uint8_t *octets = queue_of(request->board, request->link) + *at;
  uint32_t word = gw_u32(octets);
  entry->length = (uint16_t)(word & 0x3FFU);
  entry->offset = (uint16_t)((word >> 10) & 0x3FFU);
  entry->row = (uint16_t)(word >> 20);
  entry->part = octets + ENTRY;
  *at += ENTRY + (unsigned)entry->length;
  return true;
}

/* The handle of a row: only errors and the queue ask, so it is looked for. */
static uint16_t handle_of(const uint8_t *table, uint16_t number) {
  const uint8_t *wanted = gw_row_numbered(table, number);
  uint32_t handle = 1;
  while (gw_row_from(table, &handle) != wanted) handle++;
  return (uint16_t)handle;
}

int32_t gw_att_first_prepared(const struct gw_board *board, const struct gw_link *link) {
  if (link->prepared == 0) return -1;
  return handle_of(board->table, (uint16_t)(gw_u32(queue_of(board, link)) >> 20));
}

/** Who may write is checked now; offset, length and content only when the queue is executed. Core Vol 3 Part F 3.4.6.1. */
uint16_t gw_att_prepare(const struct gw_request *request) {
  struct gw_board *board = request->board;
  struct gw_link *link = request->link;
  uint16_t handle = gw_u16(request->pdu + 1);
  uint32_t offset = gw_u16(request->pdu + 3);
  unsigned length = request->length - 5U;
  const uint8_t *row = gw_row_at(board->table, handle);
  if (row == NULL) return gw_att_refuse(request, GW_ERR_INVALID_HANDLE, handle);
  uint8_t refusal = gw_write_refusal(link, row, GW_BY_REQUEST);
  if (refusal != 0) return gw_att_refuse(request, refusal, handle);
  if (link->prepared + ENTRY + length > gw_header(board->table, GW_AT_PREPARE_QUEUE)) {
    return gw_att_refuse(request, GW_ERR_PREPARE_QUEUE_FULL, handle);
  }
  uint8_t *entry = queue_of(board, link) + link->prepared;
  /* An offset behind any value is refused when it is executed, whatever it is. */
  if (offset > LONGEST_VALUE) offset = BEYOND;
  gw_put32(entry, length | (offset << 10) | ((uint32_t)gw_row_number(board->table, row) << 20));
  memcpy(entry + ENTRY, request->pdu + 5, length);
  link->prepared = (uint16_t)(link->prepared + ENTRY + length);
  memcpy(board->pdu, request->pdu, request->length);
  board->pdu[0] = GW_ATT_PREPARE_WRITE + 1;
  return request->length;
}

/* Octets of the value that a row has, before anything is written. */
static uint16_t length_before(const struct gw_request *request, uint16_t number) {
  const uint8_t *row = gw_row_numbered(request->board->table, number);
  uint8_t scratch[GW_SCRATCH];
  return gw_attribute(request->board, request->link, row, 0, scratch).length;
}

/* The length that a row's value has after its parts up to, not with, the entry at `end`. */
static uint16_t length_until(const struct gw_request *request, uint16_t row, unsigned end) {
  uint16_t length = length_before(request, row);
  struct entry entry;
  for (unsigned at = 0; at < end && next_entry(request, &at, &entry);) {
    unsigned reaches = (unsigned)entry.offset + entry.length;
    if (at <= end && entry.row == row && reaches > length) length = (uint16_t)reaches;
  }
  return length;
}

static bool is_first(const struct gw_request *request, uint16_t row, unsigned end) {
  struct entry entry;
  for (unsigned at = 0; at < end && next_entry(request, &at, &entry);) {
    if (at < end && entry.row == row) return false;
  }
  return true;
}

/* Whether every part begins within the value as the parts before it leave it, and ends within its greatest length. */
static uint8_t parts_refusal(const struct gw_request *request, uint16_t *row) {
  struct entry entry;
  for (unsigned at = 0, begin = 0; next_entry(request, &at, &entry); begin = at) {
    *row = entry.row;
    if (entry.offset > length_until(request, entry.row, begin)) return GW_ERR_INVALID_OFFSET;
    bool fixed;
    unsigned most = gw_attribute_limit(request->board, gw_row_numbered(request->board->table, entry.row), &fixed);
    if ((unsigned)entry.offset + entry.length > most) return GW_ERR_LENGTH;
  }
  return 0;
}

/* Lays the parts of a row over its value, in their order, in `pdu`. Parts that begin at offset 0 give a value of variable
   length anew, so that no tail of a longer one stays behind; parts that begin later change a piece of the old value.
   @return octets */
static uint16_t assemble(const struct gw_request *request, uint16_t number) {
  const struct gw_board *board = request->board;
  const uint8_t *row = gw_row_numbered(board->table, number);
  uint8_t scratch[GW_SCRATCH];
  struct gw_span before = gw_attribute(board, request->link, row, 0, scratch);
  uint16_t length = before.length;
  uint16_t end = 0;
  bool anew = false;
  memcpy(board->pdu, before.octets, before.length);
  struct entry entry;
  for (unsigned at = 0; next_entry(request, &at, &entry);) {
    if (entry.row != number) continue;
    uint16_t reaches = (uint16_t)(entry.offset + entry.length);
    memcpy(board->pdu + entry.offset, entry.part, entry.length);
    anew = anew || entry.offset == 0;
    if (reaches > end) end = reaches;
    if (reaches > length) length = reaches;
  }
  bool fixed;
  gw_attribute_limit(board, row, &fixed);
  return anew && !fixed ? end : length;
}

/* Checks, or stores, each row's value once, in the order in which rows were first written to. */
static uint8_t for_each_row(const struct gw_request *request, bool store, uint16_t *row) {
  struct entry entry;
  for (unsigned at = 0; next_entry(request, &at, &entry);) {
    if (!is_first(request, entry.row, at)) continue;
    const uint8_t *octets = gw_row_numbered(request->board->table, entry.row);
    uint16_t length = assemble(request, entry.row);
    if (store) {
      gw_store(request, octets, request->board->pdu, length);
      continue;
    }
    *row = entry.row;
    uint8_t refusal = gw_write_refusal(request->link, octets, GW_BY_REQUEST);
    if (refusal == 0) refusal = gw_value_refusal(request, octets, request->board->pdu, length);
    if (refusal != 0) return refusal;
  }
  return 0;
}

/** Writes all that is queued or, when any of it cannot be written, nothing; the queue is empty afterwards. Core Vol 3
    Part F 3.4.6.3. */
uint16_t gw_att_execute(const struct gw_request *request) {
  uint16_t row = 0;
  uint8_t refusal = 0;
  if (request->pdu[1] == 1) {
    refusal = parts_refusal(request, &row);
    if (refusal == 0) refusal = for_each_row(request, false, &row);
    if (refusal == 0) for_each_row(request, true, &row);
  }
  request->link->prepared = 0;
  if (refusal != 0) return gw_att_refuse(request, refusal, handle_of(request->board->table, row));
  request->board->pdu[0] = GW_ATT_EXECUTE_WRITE + 1;
  return 1;
}
