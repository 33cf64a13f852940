/* Read, Read Blob, Read Multiple (Variable), and attributes as a client sees them. */
#include "gw_att.h"
#include "gw_memory.h"

/* The declaration of the characteristic whose value is the next row. Core Vol 3 Part G 3.3.1. */
static uint16_t declare(const uint8_t *table, const uint8_t *row, uint32_t handle, uint8_t *to) {
  uint32_t next = handle + 1;
  const uint8_t *value = gw_row_from(table, &next);
  to[0] = (uint8_t)gw_row_ref(row);
  gw_put16(to + 1, (uint16_t)next);
  return (uint16_t)(3U + gw_uuid_octets(table, gw_row_base(value), gw_row_slot(value), to + 3));
}

struct gw_span gw_attribute(const struct gw_board *board, const struct gw_link *link, const uint8_t *row,
                            uint32_t handle, uint8_t *scratch) {
  const uint8_t *table = board->table;
  struct gw_span value = {scratch, 0};
  switch (gw_row_kind(row)) {
  case GW_ROW_CONSTANT:
    value.octets = gw_pool(table, gw_row_ref(row));
    value.length = gw_row_length(row);
    break;
  case GW_ROW_CHARACTERISTIC:
    value.length = declare(table, row, handle, scratch);
    break;
  case GW_ROW_SERVICE:
    value.length = gw_uuid_octets(table, row[2], gw_row_ref(row), scratch);
    break;
  case GW_ROW_KEPT:
    return gw_kept(board, gw_row_ref(row));
  case GW_ROW_CCCD:
    gw_put16(scratch, gw_subscription(board, link, gw_row_ref(row)));
    value.length = 2;
    break;
  case GW_ROW_CLIENT_FEATURES:
    value.octets = &link->features;
    value.length = 1;
    break;
  default:
    break;
  }
  return value;
}

uint16_t gw_attribute_limit(const struct gw_board *board, const uint8_t *row, bool *fixed) {
  enum { CCCD = 2, FEATURES = 16, RANGE = 4 };
  *fixed = true;
  switch (gw_row_kind(row)) {
  case GW_ROW_KEPT: {
    const uint8_t *definition = gw_definition(board->table, gw_row_ref(row));
    *fixed = gw_definition_min(definition) == gw_definition_max(definition);
    return gw_definition_max(definition);
  }
  case GW_ROW_CCCD:
    return CCCD;
  case GW_ROW_CLIENT_FEATURES:
    *fixed = false;
    return FEATURES;
  case GW_ROW_SERVICE_CHANGED:
    return RANGE;
  default:
    return gw_row_length(row);
  }
}

uint8_t gw_read_refusal(const struct gw_link *link, const uint8_t *row) {
  unsigned need = row[3] & 7U;
  return need == 0 ? GW_ERR_READ_NOT_PERMITTED : gw_security_refusal(link, need);
}

void gw_note_read(const struct gw_request *request, const uint8_t *row) {
  if (gw_row_kind(row) == GW_ROW_KEPT) gw_touch(request->board, gw_row_ref(row), GW_READ);
  if (request->link->awareness == GW_UNAWARE && gw_row_is(row, GW_TYPE_DATABASE_HASH)) {
    request->link->awareness = GW_TOLD;
  }
}

/* The attribute at a handle: Invalid Handle before permission before security. @return 0, or the ATT error */
static uint8_t find(const struct gw_request *request, uint16_t handle, const uint8_t **row) {
  *row = gw_row_at(request->board->table, handle);
  return *row == NULL ? GW_ERR_INVALID_HANDLE : gw_read_refusal(request->link, *row);
}

/* Puts as much of a value as fits behind the opcode. */
static uint16_t respond(const struct gw_request *request, const uint8_t *row, struct gw_span value) {
  uint8_t *pdu = request->board->pdu;
  unsigned room = request->link->mtu - 1U;
  unsigned length = value.length < room ? value.length : room;
  pdu[0] = (uint8_t)(request->pdu[0] + 1);
  memcpy(pdu + 1, value.octets, length);
  gw_note_read(request, row);
  return (uint16_t)(1 + length);
}

uint16_t gw_att_read(const struct gw_request *request) {
  uint16_t handle = gw_u16(request->pdu + 1);
  const uint8_t *row;
  uint8_t refusal = find(request, handle, &row);
  if (refusal != 0) return gw_att_refuse(request, refusal, handle);
  uint8_t scratch[GW_SCRATCH];
  return respond(request, row, gw_attribute(request->board, request->link, row, handle, scratch));
}

/** MTU - 1 octets from an offset on; none when the offset is the value's length. A value of fixed length that fits one
    response is Attribute Not Long, as Core Vol 3 Part F 3.4.4.5 allows. */
uint16_t gw_att_read_blob(const struct gw_request *request) {
  uint16_t handle = gw_u16(request->pdu + 1);
  uint16_t offset = gw_u16(request->pdu + 3);
  const uint8_t *row;
  uint8_t refusal = find(request, handle, &row);
  if (refusal != 0) return gw_att_refuse(request, refusal, handle);
  uint8_t scratch[GW_SCRATCH];
  struct gw_span value = gw_attribute(request->board, request->link, row, handle, scratch);
  if (offset > value.length) return gw_att_refuse(request, GW_ERR_INVALID_OFFSET, handle);
  bool fixed;
  gw_attribute_limit(request->board, row, &fixed);
  if (fixed && value.length < request->link->mtu) return gw_att_refuse(request, GW_ERR_NOT_LONG, handle);
  value.octets += offset;
  value.length = (uint16_t)(value.length - offset);
  return respond(request, row, value);
}

/** All values one behind the other, Variable: each behind its whole length. What is over MTU - 1 octets is cut, but never
    within a length. Either every value or the error of the first that cannot be read. Core Vol 3 Part F 3.4.4.7 and 11. */
uint16_t gw_att_read_multiple(const struct gw_request *request) {
  uint8_t *pdu = request->board->pdu;
  const uint8_t *row;
  for (unsigned at = 1; at < request->length; at += 2) {
    uint16_t handle = gw_u16(request->pdu + at);
    uint8_t refusal = find(request, handle, &row);
    if (refusal != 0) return gw_att_refuse(request, refusal, handle);
  }
  bool variable = request->pdu[0] == GW_ATT_READ_MULTIPLE_VARIABLE;
  unsigned mtu = request->link->mtu;
  unsigned length = 1;
  bool full = false;
  for (unsigned at = 1; at < request->length; at += 2) {
    uint16_t handle = gw_u16(request->pdu + at);
    row = gw_row_at(request->board->table, handle);
    uint8_t scratch[GW_SCRATCH];
    struct gw_span value = gw_attribute(request->board, request->link, row, handle, scratch);
    gw_note_read(request, row);
    if (variable) {
      full = full || mtu - length < 2;
      if (full) continue;
      gw_put16(pdu + length, value.length);
      length += 2;
    }
    unsigned octets = value.length < mtu - length ? value.length : mtu - length;
    memcpy(pdu + length, value.octets, octets);
    length += octets;
  }
  pdu[0] = (uint8_t)(request->pdu[0] + 1);
  return (uint16_t)length;
}
