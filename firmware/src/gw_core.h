/* What the board's own files share. */
#ifndef GW_CORE_H
#define GW_CORE_H

#include "gw_board.h"
#include "gw_packed.h"

/* A time that may lie at any multiple of 4 octets. */
struct gw_time {
  uint32_t low;
  uint32_t high;
};

/** No time: not yet, or not before something happens. */
#define GW_NEVER UINT64_MAX

static inline uint64_t gw_time(const struct gw_time *at) { return at->low | ((uint64_t)at->high << 32); }

static inline void gw_set_time(struct gw_time *at, uint64_t time) {
  at->low = (uint32_t)(time & UINT32_MAX);
  at->high = (uint32_t)(time >> 32);
}

/* Of a definition, in `states`. */
enum {
  GW_STATE_CAUSE = 0x07,   /* enum gw_cause of the change that its handler has not seen */
  GW_STATE_CHANGED = 0x08, /* there is one */
  GW_STATE_PENDING = 0x10  /* changed since it was published */
};

/* Of a CCCD and connection, a nibble in `cccds`: bits GW_NOTIFY and GW_INDICATE, and: */
enum { GW_OWED = 4 }; /* a notification that the port had no room for */

/* `flags` of a link. */
enum {
  GW_LINK_EXCHANGED = 1, /* the MTU */
  GW_LINK_DEAD = 2,      /* a transaction timed out: nothing more is sent */
  GW_LINK_INDICATING = 4
};

/* `awareness` of a link, Core Vol 3 Part G 2.5.2.1. */
enum { GW_AWARE, GW_UNAWARE, GW_TOLD };

/* Client Supported Features, Core Vol 3 Part G 7.2. */
enum { GW_ROBUST_CACHING = 1, GW_ENHANCED_BEARER = 2, GW_MULTIPLE_NOTIFICATIONS = 4 };

/** Core Vol 3 Part F 3.3.3: 30 s. */
#define GW_TRANSACTION_TIMEOUT 30000000U

enum { GW_DEFAULT_MTU = 23 };

/* board */

static inline void gw_lock(struct gw_board *board) {
  if (board->port.lock != NULL) board->port.lock(board->port.user);
}

static inline void gw_unlock(struct gw_board *board) {
  if (board->port.unlock != NULL) board->port.unlock(board->port.user);
}

/** Brings `now` and `ms` up to the port's clock. */
void gw_clock(struct gw_board *board);

/** The octets of a definition in force. */
struct gw_span gw_kept(const struct gw_board *board, uint16_t number);

/** Takes octets that were checked; does what a change brings with it. @param client whether a client wrote it */
void gw_take(struct gw_board *board, uint16_t number, const uint8_t *value, uint16_t length, enum gw_cause cause);

static inline bool gw_is_value(const struct gw_board *board, uint16_t number) {
  return number < gw_table_values(board->table);
}

static inline gw_connection gw_number(const struct gw_board *board, const struct gw_link *link) {
  return (gw_connection)(link - board->links);
}

void gw_touch(struct gw_board *board, uint16_t number, enum gw_access how);

/* subscriptions and policy */

uint8_t gw_subscription(const struct gw_board *board, const struct gw_link *link, uint16_t cccd);
void gw_subscribe(struct gw_board *board, struct gw_link *link, uint16_t cccd, uint8_t bits);
/** Forgets all of a connection. */
void gw_unsubscribe_all(struct gw_board *board, struct gw_link *link);
/** Marks a notification that is to go out, or has gone. */
void gw_set_owed(struct gw_board *board, struct gw_link *link, uint16_t cccd, bool owed);
bool gw_is_owed(const struct gw_board *board, const struct gw_link *link, uint16_t cccd);
bool gw_is_subscribed(const struct gw_board *board, uint16_t cccd);

/** Somebody came, went or subscribed: what waits for subscribers begins or rests. */
void gw_refresh_publications(struct gw_board *board);
/** A value with this CCCD changed. */
void gw_policy_changed(struct gw_board *board, uint16_t number, uint16_t cccd);
/** The value went out in a notification or indication. */
void gw_policy_sent(struct gw_board *board, uint16_t cccd, enum gw_access how);
/** Sends what is due. @return when the next is, or GW_NEVER */
uint64_t gw_publish_due(struct gw_board *board);

/* notifications and indications */

/** Gives a value to one subscriber. */
void gw_publish(struct gw_board *board, struct gw_link *link, uint16_t cccd);
/** Sends notifications as far as the port takes them. */
void gw_notify_owed(struct gw_board *board, struct gw_link *link);
/** Sends the first indication that may be sent now, unless one is still unconfirmed. */
void gw_indicate_next(struct gw_board *board, struct gw_link *link);
/** Takes a value out of the queue of indications. */
void gw_indicate_forget(struct gw_board *board, struct gw_link *link, uint16_t cccd);
void gw_indicate_confirmed(struct gw_board *board, struct gw_link *link);
/** Gives up connections whose indication was not confirmed in time. @return when the next is due, or GW_NEVER */
uint64_t gw_indicate_expire(struct gw_board *board);

/** Whether a client must first learn of a change of the database. */
static inline bool gw_held_back(const struct gw_link *link) {
  return link->awareness != GW_AWARE && (link->features & GW_ROBUST_CACHING) != 0;
}

/** ATT error for a link that is less than a need (1 open .. 4 secure connections); 0: it is enough. */
uint8_t gw_security_refusal(const struct gw_link *link, unsigned need);

/* failsafe */

void gw_failsafe_arm(struct gw_board *board);
void gw_failsafe_disarm(struct gw_board *board, uint16_t number);
/** Sets values whose deadline has come. @return the next deadline, or GW_NEVER */
uint64_t gw_failsafe_run(struct gw_board *board);

/* events */

struct gw_note {
  enum gw_event_kind kind;
  uint8_t detail;
  uint16_t index;
  uint32_t number; /* client, or what the event's `number` is */
  const uint8_t *octets;
  uint16_t length;
};

#if GW_EVENT_OCTETS > 0
void gw_event_put(struct gw_board *board, const struct gw_note *note);

static inline void gw_event_note(struct gw_board *board, enum gw_event_kind kind, uint8_t detail, uint16_t index,
                                 uint32_t number) {
  struct gw_note note = {kind, detail, index, number, NULL, 0};
  gw_event_put(board, &note);
}
#else
static inline void gw_event_put(struct gw_board *board, const struct gw_note *note) {
  (void)board;
  (void)note;
}

static inline void gw_event_note(struct gw_board *board, enum gw_event_kind kind, uint8_t detail, uint16_t index,
                                 uint32_t number) {
  (void)board, (void)kind, (void)detail, (void)index, (void)number;
}
#endif

#endif
