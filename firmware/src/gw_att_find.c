/* What is where: Find Information, Find By Type Value, Read By Type, Read By Group Type. */
#include "gw_att.h"
#include "gw_memory.h"

/** Handles and types, as many as fit: 4 octets each, or 18 for 128-bit types. Core Vol 3 Part F 3.4.3.1. */
uint16_t gw_att_find_information(const struct gw_request *request) {
  enum { SHORT = 1, LONG = 2, SHORT_ENTRY = 4, LONG_ENTRY = 18 };
  const uint8_t *table = request->board->table;
  uint8_t *pdu = request->board->pdu;
  uint16_t start = gw_u16(request->pdu + 1);
  uint16_t end = gw_u16(request->pdu + 3);
  if (!gw_is_range(start, end)) return gw_att_refuse(request, GW_ERR_INVALID_HANDLE, start);
  unsigned length = 2;
  uint32_t handle = start;
  for (const uint8_t *row; (row = gw_row_from(table, &handle)) != NULL && handle <= end; handle++) {
    unsigned base = gw_row_base(row);
    uint8_t format = base == 0 ? SHORT : LONG;
    if (length == 2) pdu[1] = format;
    if (format != pdu[1] || length + (base == 0 ? SHORT_ENTRY : LONG_ENTRY) > request->link->mtu) break;
    gw_put16(pdu + length, (uint16_t)handle);
    length += 2U + gw_uuid_octets(table, base, gw_row_slot(row), pdu + length + 2);
  }
  if (length == 2) return gw_att_refuse(request, GW_ERR_NOT_FOUND, start);
  pdu[0] = GW_ATT_FIND_INFORMATION + 1;
  return (uint16_t)length;
}

static bool is_service(const uint8_t *row) { return gw_row_is(row, GW_TYPE_PRIMARY) || gw_row_is(row, GW_TYPE_SECONDARY); }

/* Last handle of the group that a declaration opens: a service ends before the next service, a characteristic before the
   next of either; any other attribute is its own end. Core Vol 3 Part G 2.5.3. */
static uint16_t group_end(const uint8_t *table, const uint8_t *row, uint16_t handle) {
  bool characteristic = gw_row_is(row, GW_TYPE_CHARACTERISTIC);
  if (!characteristic && !is_service(row)) return handle;
  uint16_t end = handle;
  uint32_t next = handle + 1U;
  while ((row = gw_row_from(table, &next)) != NULL) {
    if (is_service(row) || (characteristic && gw_row_is(row, GW_TYPE_CHARACTERISTIC))) break;
    end = (uint16_t)next++;
  }
  return end;
}

/** Attributes with this 16-bit type and exactly this value, and where their groups end. What the client may not read is
    not found. Core Vol 3 Part F 3.4.3.3. */
uint16_t gw_att_find_by_type_value(const struct gw_request *request) {
  enum { ENTRY = 4, VALUE_AT = 7 };
  const struct gw_board *board = request->board;
  uint8_t *pdu = board->pdu;
  uint16_t start = gw_u16(request->pdu + 1);
  uint16_t end = gw_u16(request->pdu + 3);
  uint16_t type = gw_u16(request->pdu + 5);
  uint16_t length = (uint16_t)(request->length - VALUE_AT);
  if (!gw_is_range(start, end)) return gw_att_refuse(request, GW_ERR_INVALID_HANDLE, start);
  unsigned made = 1;
  uint32_t handle = start;
  for (const uint8_t *row; (row = gw_row_from(board->table, &handle)) != NULL && handle <= end; handle++) {
    uint8_t scratch[GW_SCRATCH];
    if (made + ENTRY > request->link->mtu) break;
    if (!gw_row_is(row, type) || gw_read_refusal(request->link, row) != 0) continue;
    struct gw_span value = gw_attribute(board, request->link, row, handle, scratch);
    if (value.length != length || memcmp(value.octets, request->pdu + VALUE_AT, length) != 0) continue;
    gw_put16(pdu + made, (uint16_t)handle);
    gw_put16(pdu + made + 2, group_end(board->table, row, (uint16_t)handle));
    made += ENTRY;
  }
  if (made == 1) return gw_att_refuse(request, GW_ERR_NOT_FOUND, start);
  pdu[0] = GW_ATT_FIND_BY_TYPE_VALUE + 1;
  return (uint16_t)made;
}

/* Values of one type, all of one length, each behind its handle and, in groups, the group's last handle. One that the
   client may not read is an error when it is the first, else it ends the list. The second octet of the answer counts an
   entry, so that it has at most 255. Core Vol 3 Part F 3.4.4.1 and 3.4.4.9. */
static uint16_t read_list(const struct gw_request *request, struct gw_uuid type, bool groups) {
  enum { LONGEST_ENTRY = 255 };
  const struct gw_board *board = request->board;
  uint8_t *pdu = board->pdu;
  uint16_t start = gw_u16(request->pdu + 1);
  uint16_t end = gw_u16(request->pdu + 3);
  unsigned head = groups ? 4 : 2;
  unsigned room = request->link->mtu - 2U;
  if (room > LONGEST_ENTRY) room = LONGEST_ENTRY;
  unsigned length = 2;
  uint32_t handle = start;
  for (const uint8_t *row; (row = gw_row_from(board->table, &handle)) != NULL && handle <= end; handle++) {
    if (gw_row_base(row) != type.base || gw_row_slot(row) != type.slot) continue;
    uint8_t refusal = gw_read_refusal(request->link, row);
    if (refusal != 0) {
      if (length == 2) return gw_att_refuse(request, refusal, (uint16_t)handle);
      break;
    }
    uint8_t scratch[GW_SCRATCH];
    struct gw_span value = gw_attribute(board, request->link, row, handle, scratch);
    unsigned entry = head + value.length;
    if (entry > room) entry = room;
    if (length == 2) pdu[1] = (uint8_t)entry;
    if (entry != pdu[1] || length + entry > request->link->mtu) break;
    gw_put16(pdu + length, (uint16_t)handle);
    if (groups) gw_put16(pdu + length + 2, group_end(board->table, row, (uint16_t)handle));
    memcpy(pdu + length + head, value.octets, entry - head);
    length += entry;
    if (!groups) gw_note_read(request, row);
  }
  if (length == 2) return gw_att_refuse(request, GW_ERR_NOT_FOUND, start);
  pdu[0] = (uint8_t)(request->pdu[0] + 1);
  return (uint16_t)length;
}

static struct gw_uuid type_of(const struct gw_request *request) {
  return gw_uuid_at(request->board->table, request->pdu + 5, (uint16_t)(request->length - 5));
}

static bool has_range(const struct gw_request *request) {
  return gw_is_range(gw_u16(request->pdu + 1), gw_u16(request->pdu + 3));
}

uint16_t gw_att_read_by_type(const struct gw_request *request) {
  if (!has_range(request)) return gw_att_refuse(request, GW_ERR_INVALID_HANDLE, gw_u16(request->pdu + 1));
  return read_list(request, type_of(request), false);
}

/** Only service declarations are groups that can be asked for. Core Vol 3 Part G 2.5.3. */
uint16_t gw_att_read_by_group_type(const struct gw_request *request) {
  uint16_t start = gw_u16(request->pdu + 1);
  if (!has_range(request)) return gw_att_refuse(request, GW_ERR_INVALID_HANDLE, start);
  struct gw_uuid type = type_of(request);
  if (type.base != 0 || (type.slot != GW_TYPE_PRIMARY && type.slot != GW_TYPE_SECONDARY)) {
    return gw_att_refuse(request, GW_ERR_GROUP_TYPE, start);
  }
  return read_list(request, type, true);
}
