#include "gw_att.h"

enum { ERROR_OCTETS = 5, COMMAND_BIT = 0x40 };

/* Opcodes below 0x24 that are assigned, a bit each: everything but 00, 14, 15, 1A, 1C, 1F, 22. */
static bool is_assigned(uint8_t opcode) {
  static const uint32_t low = 0x6BCFFFFEU;
  if (opcode < 32) return ((low >> opcode) & 1U) != 0;
  return opcode == 0x20 || opcode == 0x21 || opcode == 0x23;
}

static bool is_request(uint8_t opcode) {
  return is_assigned(opcode) && (opcode & 1U) == 0 && opcode != GW_ATT_CONFIRMATION;
}

/* Whether the octets behind the opcode can be what it says. */
static bool is_well_formed(const uint8_t *pdu, uint16_t length) {
  switch (pdu[0]) {
  case GW_ATT_EXCHANGE_MTU:
  case GW_ATT_READ:
    return length == 3;
  case GW_ATT_FIND_INFORMATION:
  case GW_ATT_READ_BLOB:
    return length == 5;
  case GW_ATT_FIND_BY_TYPE_VALUE:
    return length >= 7;
  case GW_ATT_READ_BY_TYPE:
  case GW_ATT_READ_BY_GROUP_TYPE:
    return length == 7 || length == 21;
  case GW_ATT_READ_MULTIPLE:
  case GW_ATT_READ_MULTIPLE_VARIABLE:
    return length >= 5 && (length & 1U) != 0;
  case GW_ATT_WRITE:
  case GW_ATT_WRITE_COMMAND:
    return length >= 3;
  case GW_ATT_PREPARE_WRITE:
    return length >= 5;
  case GW_ATT_EXECUTE_WRITE:
    return length == 2 && pdu[1] <= 1;
  case GW_ATT_CONFIRMATION:
    return length == 1;
  default:
    return false;
  }
}

uint16_t gw_att_refuse(const struct gw_request *request, uint8_t code, uint16_t handle) {
  struct gw_board *board = request->board;
  uint8_t opcode = request->pdu[0];
  uint8_t *pdu = board->pdu;
  pdu[0] = GW_ATT_ERROR;
  pdu[1] = opcode;
  gw_put16(pdu + 2, handle);
  pdu[4] = code;

  /* Searches that find nothing are no refusals, so only accesses to the value of a characteristic are noted. */
  bool reads = opcode == GW_ATT_READ || opcode == GW_ATT_READ_BLOB || opcode == GW_ATT_READ_MULTIPLE ||
               opcode == GW_ATT_READ_MULTIPLE_VARIABLE;
  bool writes = opcode == GW_ATT_WRITE || opcode == GW_ATT_PREPARE_WRITE || opcode == GW_ATT_EXECUTE_WRITE;
  const uint8_t *row = gw_row_at(board->table, handle);
  if ((reads || writes) && row != NULL && gw_row_kind(row) == GW_ROW_KEPT && gw_is_value(board, gw_row_ref(row))) {
    gw_event_note(board, reads ? GW_EVENT_REFUSED_READ : GW_EVENT_REFUSED_WRITE, code, gw_row_ref(row),
                  request->link->client);
  }
  return ERROR_OCTETS;
}

/* The first handle that a request relies on; -1 for those that find handles anew. */
static int32_t handle_used(const struct gw_request *request) {
  const uint8_t *pdu = request->pdu;
  switch (pdu[0]) {
  case GW_ATT_READ:
  case GW_ATT_READ_BLOB:
  case GW_ATT_WRITE:
  case GW_ATT_PREPARE_WRITE:
  case GW_ATT_READ_MULTIPLE:
  case GW_ATT_READ_MULTIPLE_VARIABLE:
    return gw_u16(pdu + 1);
  case GW_ATT_EXECUTE_WRITE:
    return pdu[1] == 0 ? -1 : gw_att_first_prepared(request->board, request->link);
  case GW_ATT_READ_BY_TYPE: {
    if (gw_u16(pdu + 1) == 0x0001 && gw_u16(pdu + 3) == 0xFFFF) return -1;
    struct gw_uuid type = gw_uuid_at(request->board->table, pdu + 5, (uint16_t)(request->length - 5));
    if (type.base == 0 && (type.slot == GW_TYPE_INCLUDE || type.slot == GW_TYPE_CHARACTERISTIC)) return -1;
    return gw_u16(pdu + 1);
  }
  default:
    return -1;
  }
}

/* The MTU in force is the smaller of both sides', never below 23; a client asks once. Core Vol 3 Part F 3.4.2. */
static uint16_t exchange_mtu(const struct gw_request *request) {
  struct gw_link *link = request->link;
  if ((link->flags & GW_LINK_EXCHANGED) != 0) return gw_att_refuse(request, GW_ERR_NOT_SUPPORTED, 0);
  uint16_t own = gw_header(request->board->table, GW_AT_MTU);
  uint16_t theirs = gw_u16(request->pdu + 1);
  uint16_t mtu = theirs < own ? theirs : own;
  link->mtu = mtu < GW_DEFAULT_MTU ? GW_DEFAULT_MTU : mtu;
  link->flags |= GW_LINK_EXCHANGED;
  request->board->pdu[0] = GW_ATT_EXCHANGE_MTU + 1;
  gw_put16(request->board->pdu + 1, own);
  return 3;
}

/* Robust caching, Core Vol 3 Part G 2.5.2.1: a client that does not know of a change is told once, when it uses a handle;
   its next request makes it aware. */
static bool is_out_of_sync(const struct gw_request *request, uint16_t *handle) {
  struct gw_link *link = request->link;
  if (link->awareness == GW_TOLD) link->awareness = GW_AWARE;
  if (!gw_held_back(link)) return false;
  int32_t used = handle_used(request);
  if (used < 0) return false;
  *handle = (uint16_t)used;
  link->awareness = GW_TOLD;
  if (request->pdu[0] == GW_ATT_EXECUTE_WRITE) link->prepared = 0;
  return true;
}

static uint16_t answer(const struct gw_request *request) {
  uint16_t handle = 0;
  if (is_out_of_sync(request, &handle)) return gw_att_refuse(request, GW_ERR_OUT_OF_SYNC, handle);
  switch (request->pdu[0]) {
  case GW_ATT_EXCHANGE_MTU:
    return exchange_mtu(request);
  case GW_ATT_FIND_INFORMATION:
    return gw_att_find_information(request);
  case GW_ATT_FIND_BY_TYPE_VALUE:
    return gw_att_find_by_type_value(request);
  case GW_ATT_READ_BY_TYPE:
    return gw_att_read_by_type(request);
  case GW_ATT_READ:
    return gw_att_read(request);
  case GW_ATT_READ_BLOB:
    return gw_att_read_blob(request);
  case GW_ATT_READ_MULTIPLE:
  case GW_ATT_READ_MULTIPLE_VARIABLE:
    return gw_att_read_multiple(request);
  case GW_ATT_READ_BY_GROUP_TYPE:
    return gw_att_read_by_group_type(request);
  case GW_ATT_WRITE:
    return gw_att_write(request);
  case GW_ATT_PREPARE_WRITE:
    return gw_att_prepare(request);
  default:
    return gw_att_execute(request);
  }
}

/* Requests that cannot be read are refused, everything else of that kind is ignored. Core Vol 3 Part F 3.3. */
static uint16_t answer_any(const struct gw_request *request, bool well_formed) {
  uint8_t opcode = request->pdu[0];
  if (is_request(opcode)) return well_formed ? answer(request) : gw_att_refuse(request, GW_ERR_INVALID_PDU, 0);
  if ((opcode & COMMAND_BIT) != 0 || is_assigned(opcode)) return 0;
  return gw_att_refuse(request, GW_ERR_NOT_SUPPORTED, 0);
}

void gw_att_receive(struct gw_board *board, gw_connection connection, const uint8_t *pdu, uint16_t length) {
  if (connection >= GW_CONNECTIONS || board->links[connection].client == 0 || length == 0) return;
  struct gw_request request = {board, &board->links[connection], pdu, length};
  struct gw_link *link = request.link;
  gw_clock(board);
  gw_indicate_expire(board);
  if ((link->flags & GW_LINK_DEAD) != 0) return;
  bool well_formed = length <= link->mtu && is_well_formed(pdu, length);
  if (well_formed && pdu[0] == GW_ATT_CONFIRMATION) {
    gw_indicate_confirmed(board, link);
  } else if (well_formed && pdu[0] == GW_ATT_WRITE_COMMAND) {
    if (!gw_held_back(link)) gw_att_write_command(&request);
  } else {
    uint16_t octets = answer_any(&request, well_formed);
    if (octets == 0) return;
    board->port.att_send(board->port.user, connection, board->pdu, octets);
    /* A client that became aware of a change may now have what waited for that. */
    gw_indicate_next(board, link);
  }
}
