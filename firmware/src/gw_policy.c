/* Who subscribed, and when a value may be published. What is sent then is the value of that moment, whole: the latest
   wins and none is torn. */
#include "gw_core.h"
#include "gw_memory.h"

/* Publication times of a CCCD: when its value last went out, and when it is due (every period). */
static struct gw_time *last_of(const struct gw_board *board, uint16_t cccd) { return &board->published[2U * cccd]; }
static struct gw_time *due_of(const struct gw_board *board, uint16_t cccd) { return &board->published[2U * cccd + 1U]; }

static uint8_t *nibbles(const struct gw_board *board, const struct gw_link *link, uint16_t cccd) {
  size_t octets = (gw_header(board->table, GW_AT_CCCDS) + (size_t)1) / 2;
  return board->cccds + gw_number(board, link) * octets + cccd / 2U;
}

static unsigned nibble(const struct gw_board *board, const struct gw_link *link, uint16_t cccd) {
  return (unsigned)(*nibbles(board, link, cccd) >> ((cccd & 1U) * 4U)) & 15U;
}

uint8_t gw_subscription(const struct gw_board *board, const struct gw_link *link, uint16_t cccd) {
  return nibble(board, link, cccd) & (GW_NOTIFY | GW_INDICATE);
}

static void set_nibble(struct gw_board *board, struct gw_link *link, uint16_t cccd, unsigned bits) {
  uint8_t *octet = nibbles(board, link, cccd);
  unsigned shift = (cccd & 1U) * 4U;
  *octet = (uint8_t)((*octet & ~(15U << shift)) | (bits << shift));
}

void gw_subscribe(struct gw_board *board, struct gw_link *link, uint16_t cccd, uint8_t bits) {
  unsigned owed = (bits & GW_NOTIFY) != 0 ? nibble(board, link, cccd) & GW_OWED : 0;
  set_nibble(board, link, cccd, bits | owed);
}

void gw_set_owed(struct gw_board *board, struct gw_link *link, uint16_t cccd, bool owed) {
  unsigned bits = nibble(board, link, cccd) & ~(unsigned)GW_OWED;
  set_nibble(board, link, cccd, owed ? bits | GW_OWED : bits);
}

bool gw_is_owed(const struct gw_board *board, const struct gw_link *link, uint16_t cccd) {
  return (nibble(board, link, cccd) & GW_OWED) != 0;
}

void gw_unsubscribe_all(struct gw_board *board, struct gw_link *link) {
  memset(nibbles(board, link, 0), 0, (gw_header(board->table, GW_AT_CCCDS) + (size_t)1) / 2);
}

bool gw_is_subscribed(const struct gw_board *board, uint16_t cccd) {
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    if (gw_subscription(board, &board->links[i], cccd) != 0) return true;
  }
  return false;
}

static uint8_t *state_of(struct gw_board *board, const uint8_t *cccd) {
  return &board->states[gw_cccd_definition(cccd)];
}

/* As early as `from`, but not before the spacing since the last one has passed. */
static uint64_t earliest(const struct gw_board *board, uint16_t number, uint64_t from) {
  uint64_t last = gw_time(last_of(board, number));
  if (last == GW_NEVER) return from;
  uint64_t spaced = last + gw_cccd_spacing(gw_cccd(board->table, number));
  return spaced > from ? spaced : from;
}

void gw_refresh_publications(struct gw_board *board) {
  for (uint16_t i = 0; i < gw_header(board->table, GW_AT_CCCDS); i++) {
    const uint8_t *cccd = gw_cccd(board->table, i);
    uint8_t policy = gw_cccd_policy(cccd);
    if (policy == GW_POLICY_NONE) continue;
    if (!gw_is_subscribed(board, i)) {
      *state_of(board, cccd) &= (uint8_t)~(unsigned)GW_STATE_PENDING;
      gw_set_time(due_of(board, i), GW_NEVER);
    } else if (policy == GW_POLICY_EVERY && gw_time(due_of(board, i)) == GW_NEVER) {
      gw_set_time(due_of(board, i), earliest(board, i, board->now));
    }
  }
}

void gw_policy_changed(struct gw_board *board, uint16_t number, uint16_t cccd) {
  if (cccd == GW_NONE16 || gw_cccd_policy(gw_cccd(board->table, cccd)) != GW_POLICY_CHANGE) return;
  if (gw_is_subscribed(board, cccd)) board->states[number] |= GW_STATE_PENDING;
}

void gw_policy_sent(struct gw_board *board, uint16_t cccd, enum gw_access how) {
  gw_set_time(last_of(board, cccd), board->now);
  gw_touch(board, gw_cccd_definition(gw_cccd(board->table, cccd)), how);
}

static uint64_t due_time(struct gw_board *board, uint16_t number) {
  const uint8_t *cccd = gw_cccd(board->table, number);
  switch (gw_cccd_policy(cccd)) {
  case GW_POLICY_EVERY:
    return gw_time(due_of(board, number));
  case GW_POLICY_CHANGE:
    return (*state_of(board, cccd) & GW_STATE_PENDING) != 0 ? earliest(board, number, 0) : GW_NEVER;
  default:
    return GW_NEVER;
  }
}

static void published(struct gw_board *board, uint16_t number) {
  const uint8_t *cccd = gw_cccd(board->table, number);
  gw_set_time(last_of(board, number), board->now);
  *state_of(board, cccd) &= (uint8_t)~(unsigned)GW_STATE_PENDING;
  if (gw_cccd_policy(cccd) != GW_POLICY_EVERY) return;
  /* On the grid of the first one, so that no delay adds up; after a long pause the grid starts anew. */
  uint64_t period = gw_cccd_period(cccd);
  uint64_t due = gw_time(due_of(board, number)) + period;
  if (due <= board->now) due = board->now + period;
  gw_set_time(due_of(board, number), earliest(board, number, due));
}

uint64_t gw_publish_due(struct gw_board *board) {
  uint64_t next = GW_NEVER;
  for (uint16_t i = 0; i < gw_header(board->table, GW_AT_CCCDS); i++) {
    if (due_time(board, i) <= board->now) {
      for (unsigned j = 0; j < GW_CONNECTIONS; j++) gw_publish(board, &board->links[j], i);
      published(board, i);
    }
    uint64_t due = due_time(board, i);
    if (due < next) next = due;
  }
  return next;
}
