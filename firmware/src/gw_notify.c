/* What a board sends of itself: notifications, several in one PDU where the client can take them, and indications. */
#include "gw_core.h"
#include "gw_memory.h"

enum { NOTIFICATION = 0x1B, INDICATION = 0x1D, MULTIPLE_NOTIFICATION = 0x23 };

/** In `indicating` and the queue: Service Changed, not a CCCD. */
enum { SERVICE_CHANGED = GW_NONE16 };

static bool send(struct gw_board *board, const struct gw_link *link, size_t length) {
  return board->port.att_send(board->port.user, gw_number(board, link), board->pdu, (uint16_t)length);
}

static bool is_silent(const struct gw_link *link) { return link->client == 0 || (link->flags & GW_LINK_DEAD) != 0; }

/* A bond keeps a subscription, so the link's security is asked at each value, Core Vol 3 Part C 10.3.1.1; and a client
   that must first learn of a change gets none. */
static bool may_receive(const struct gw_board *board, const struct gw_link *link, uint16_t cccd) {
  const uint8_t *definition = gw_definition(board->table, gw_cccd_definition(gw_cccd(board->table, cccd)));
  return !gw_held_back(link) && gw_security_refusal(link, gw_definition_need(definition)) == 0;
}

/* Opcode, handle and as much of the value as fits, in `pdu`. Core Vol 3 Part F 3.4.7.1. @return octets */
static size_t make(struct gw_board *board, const struct gw_link *link, uint8_t opcode, uint16_t handle,
                   struct gw_span value) {
  size_t length = value.length;
  if (length > (size_t)link->mtu - 3) length = (size_t)link->mtu - 3;
  board->pdu[0] = opcode;
  gw_put16(board->pdu + 1, handle);
  memcpy(board->pdu + 3, value.octets, length);
  return 3 + length;
}

static size_t make_for(struct gw_board *board, const struct gw_link *link, uint8_t opcode, uint16_t cccd) {
  uint16_t number = gw_cccd_definition(gw_cccd(board->table, cccd));
  return make(board, link, opcode, gw_table_handle(board->table, number), gw_kept(board, number));
}

static uint16_t *queue_of(const struct gw_board *board, const struct gw_link *link) {
  return board->queues + (size_t)gw_number(board, link) * gw_header(board->table, GW_AT_INDICATABLE);
}

void gw_publish(struct gw_board *board, struct gw_link *link, uint16_t cccd) {
  if (is_silent(link)) return;
  uint8_t bits = gw_subscription(board, link, cccd);
  if ((bits & GW_NOTIFY) != 0) {
    if (may_receive(board, link, cccd)) gw_set_owed(board, link, cccd, true);
  } else if ((bits & GW_INDICATE) != 0) {
    uint16_t *queue = queue_of(board, link);
    for (unsigned i = 0; i < link->queued; i++) {
      if (queue[i] == cccd) return;
    }
    queue[link->queued++] = cccd;
  }
}

/* Sends one notification. @return whether the port took it */
static bool notify_one(struct gw_board *board, struct gw_link *link, uint16_t cccd) {
  if (!send(board, link, make_for(board, link, NOTIFICATION, cccd))) return false;
  gw_set_owed(board, link, cccd, false);
  gw_policy_sent(board, cccd, GW_NOTIFIED);
  return true;
}

/* Sends what was put together: the owed ones from `first` to before `end`. @return whether the port took it */
static bool notify_batch(struct gw_board *board, struct gw_link *link, uint16_t first, uint16_t end, unsigned count,
                         size_t length) {
  if (count == 0) return true;
  if (count == 1) return notify_one(board, link, first);
  if (!send(board, link, length)) return false;
  for (uint16_t i = first; i < end; i++) {
    if (!gw_is_owed(board, link, i)) continue;
    gw_set_owed(board, link, i, false);
    gw_policy_sent(board, i, GW_NOTIFIED);
  }
  return true;
}

void gw_notify_owed(struct gw_board *board, struct gw_link *link) {
  if (is_silent(link)) return;
  bool together = (link->features & GW_MULTIPLE_NOTIFICATIONS) != 0;
  uint16_t cccds = gw_header(board->table, GW_AT_CCCDS);
  uint16_t first = 0;
  unsigned count = 0;
  size_t length = 1;
  for (uint16_t i = 0; i < cccds; i++) {
    if (!gw_is_owed(board, link, i)) continue;
    uint16_t number = gw_cccd_definition(gw_cccd(board->table, i));
    struct gw_span value = gw_kept(board, number);
    size_t size = 4 + (size_t)value.length;
    if (count > 0 && (!together || length + size > link->mtu)) {
      if (!notify_batch(board, link, first, i, count, length)) return;
      count = 0;
      length = 1;
    }
    if (count == 0) first = i;
    count++;
    if (length + size <= link->mtu) {
      board->pdu[0] = MULTIPLE_NOTIFICATION;
      gw_put16(board->pdu + length, gw_table_handle(board->table, number));
      gw_put16(board->pdu + length + 2, value.length);
      memcpy(board->pdu + length + 4, value.octets, value.length);
    }
    length += size;
  }
  notify_batch(board, link, first, cccds, count, length);
}

/* Place in the queue of the first that the client may have now; `queued` when there is none. */
static unsigned first_allowed(const struct gw_board *board, const struct gw_link *link) {
  const uint16_t *queue = queue_of(board, link);
  unsigned i = 0;
  while (i < link->queued && !may_receive(board, link, queue[i])) i++;
  return i;
}

static void take_from_queue(struct gw_board *board, struct gw_link *link, unsigned place) {
  uint16_t *queue = queue_of(board, link);
  link->queued--;
  for (unsigned i = place; i < link->queued; i++) queue[i] = queue[i + 1];
}

void gw_indicate_next(struct gw_board *board, struct gw_link *link) {
  if (is_silent(link) || (link->flags & GW_LINK_INDICATING) != 0) return;
  uint16_t what = SERVICE_CHANGED;
  unsigned place = 0;
  size_t length;
  if (link->changed_start != 0) {
    uint8_t range[4];
    gw_put16(range, link->changed_start);
    gw_put16(range + 2, link->changed_end);
    struct gw_span value = {range, sizeof range};
    length = make(board, link, INDICATION, gw_header(board->table, GW_AT_SERVICE_CHANGED), value);
  } else {
    place = first_allowed(board, link);
    if (place == link->queued) return;
    what = queue_of(board, link)[place];
    length = make_for(board, link, INDICATION, what);
  }
  if (!send(board, link, length)) return;
  link->flags |= GW_LINK_INDICATING;
  link->indicating = what;
  link->indicated_at = board->now;
  if (what == SERVICE_CHANGED) {
    link->changed_start = 0;
  } else {
    take_from_queue(board, link, place);
    gw_policy_sent(board, what, GW_INDICATED);
  }
}

void gw_indicate_forget(struct gw_board *board, struct gw_link *link, uint16_t cccd) {
  if (gw_cccd_definition(gw_cccd(board->table, cccd)) == GW_NONE16) {
    link->changed_start = 0;
    return;
  }
  const uint16_t *queue = queue_of(board, link);
  for (unsigned i = 0; i < link->queued; i++) {
    if (queue[i] == cccd) {
      take_from_queue(board, link, i);
      return;
    }
  }
}

void gw_indicate_confirmed(struct gw_board *board, struct gw_link *link) {
  if ((link->flags & GW_LINK_INDICATING) == 0) return;
  link->flags &= (uint8_t)~(unsigned)GW_LINK_INDICATING;
  if (link->indicating == SERVICE_CHANGED && link->changed_start == 0) link->awareness = GW_AWARE;
  gw_indicate_next(board, link);
}

uint64_t gw_indicate_expire(struct gw_board *board) {
  uint64_t next = GW_NEVER;
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    struct gw_link *link = &board->links[i];
    if (is_silent(link) || (link->flags & GW_LINK_INDICATING) == 0) continue;
    uint64_t due = link->indicated_at + GW_TRANSACTION_TIMEOUT;
    if (due <= board->now) {
      link->flags |= GW_LINK_DEAD;
      board->port.disconnect(board->port.user, (gw_connection)i);
    } else if (due < next) {
      next = due;
    }
  }
  return next;
}

void gw_att_database_changed(struct gw_board *board, uint16_t start, uint16_t end) {
  gw_clock(board);
  gw_indicate_expire(board);
  uint16_t cccds = gw_header(board->table, GW_AT_CCCDS);
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    struct gw_link *link = &board->links[i];
    if (link->client == 0) continue;
    link->awareness = GW_UNAWARE;
    for (uint16_t cccd = 0; cccd < cccds; cccd++) {
      if (gw_cccd_definition(gw_cccd(board->table, cccd)) != GW_NONE16) continue;
      if ((gw_subscription(board, link, cccd) & GW_INDICATE) == 0) continue;
      /* Ranges that wait become one. */
      if (link->changed_start == 0 || start < link->changed_start) {
        if (link->changed_start == 0) link->changed_end = 0;
        link->changed_start = start;
      }
      if (end > link->changed_end) link->changed_end = end;
      gw_indicate_next(board, link);
    }
  }
}
