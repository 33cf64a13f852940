/* Write Request, Write Command, and what octets an attribute takes. */
#include "gw_att.h"
#include "gw_check.h"

enum { FEATURES_KNOWN = GW_ROBUST_CACHING | GW_ENHANCED_BEARER | GW_MULTIPLE_NOTIFICATIONS, LONGEST_FEATURES = 16 };

uint8_t gw_write_refusal(const struct gw_link *link, const uint8_t *row, uint8_t with) {
  unsigned need = (row[3] >> 3) & 7U;
  if (need == 0 || (row[3] & with) == 0) return GW_ERR_WRITE_NOT_PERMITTED;
  return gw_security_refusal(link, need);
}

static uint8_t kept_refusal(const uint8_t *table, const uint8_t *definition, const uint8_t *value, uint16_t length) {
  enum gw_status status = gw_check_value(table, definition, value, length);
  if (status == GW_OK) return 0;
  return status == GW_ERROR_LENGTH ? GW_ERR_LENGTH : gw_definition_refusal(definition);
}

uint8_t gw_value_refusal(const struct gw_request *request, const uint8_t *row, const uint8_t *value, uint16_t length) {
  const uint8_t *table = request->board->table;
  switch (gw_row_kind(row)) {
  case GW_ROW_KEPT:
    return kept_refusal(table, gw_definition(table, gw_row_ref(row)), value, length);
  case GW_ROW_CCCD:
    if (length != 2) return GW_ERR_LENGTH;
    return (gw_u16(value) & ~gw_row_allowed(row)) == 0 ? 0 : GW_ERR_CCCD;
  case GW_ROW_CLIENT_FEATURES:
    if (length < 1 || length > LONGEST_FEATURES) return GW_ERR_LENGTH;
    /* A bit once set stays set. Core Vol 3 Part G 7.2. */
    return (request->link->features & ~(unsigned)value[0]) == 0 ? 0 : GW_ERR_NOT_ALLOWED;
  default:
    return GW_ERR_REJECTED;
  }
}

static void configure(const struct gw_request *request, uint16_t cccd, uint8_t bits) {
  struct gw_board *board = request->board;
  gw_subscribe(board, request->link, cccd, bits);
  /* An indication that still waits its turn is not sent any more when unsubscribed. */
  if ((bits & GW_INDICATE) == 0) gw_indicate_forget(board, request->link, cccd);
  uint16_t number = gw_cccd_definition(gw_cccd(board->table, cccd));
  if (number == GW_NONE16) return;
  gw_event_note(board, GW_EVENT_SUBSCRIBED, bits, number, request->link->client);
  gw_refresh_publications(board);
}

void gw_store(const struct gw_request *request, const uint8_t *row, const uint8_t *value, uint16_t length) {
  struct gw_board *board = request->board;
  switch (gw_row_kind(row)) {
  case GW_ROW_KEPT:
    gw_touch(board, gw_row_ref(row), GW_WRITTEN);
    gw_failsafe_disarm(board, gw_row_ref(row));
    gw_take(board, gw_row_ref(row), value, length, GW_AIR);
    break;
  case GW_ROW_CCCD:
    configure(request, gw_row_ref(row), value[0]);
    break;
  case GW_ROW_CLIENT_FEATURES:
    request->link->features = value[0] & FEATURES_KNOWN;
    break;
  default:
    break;
  }
}

/* @return 0, or the ATT error; then nothing has changed */
static uint8_t write(const struct gw_request *request, uint8_t with) {
  const uint8_t *row = gw_row_at(request->board->table, gw_u16(request->pdu + 1));
  const uint8_t *value = request->pdu + 3;
  uint16_t length = (uint16_t)(request->length - 3);
  if (row == NULL) return GW_ERR_INVALID_HANDLE;
  uint8_t refusal = gw_write_refusal(request->link, row, with);
  if (refusal == 0) refusal = gw_value_refusal(request, row, value, length);
  if (refusal == 0) gw_store(request, row, value, length);
  return refusal;
}

uint16_t gw_att_write(const struct gw_request *request) {
  uint8_t refusal = write(request, GW_BY_REQUEST);
  if (refusal != 0) return gw_att_refuse(request, refusal, gw_u16(request->pdu + 1));
  request->board->pdu[0] = GW_ATT_WRITE + 1;
  return 1;
}

void gw_att_write_command(const struct gw_request *request) { write(request, GW_BY_COMMAND); }
