/* What happens on a board, in order, for whoever tells people of it: the console drains it. */
#ifndef GW_EVENT_H
#define GW_EVENT_H

#include "gw_types.h"

#ifdef __cplusplus
extern "C" {
#endif

struct gw_board;

/** One kind for each `tell` or `note` line of docs/console.md. */
enum gw_event_kind {
  GW_EVENT_START,        /* power-up; the start value of each value follows as GW_EVENT_TELL */
  GW_EVENT_TELL,         /* index, cause, value */
  GW_EVENT_ADVERTISING,  /* detail: 1 on, 0 off */
  GW_EVENT_CONNECTED,    /* client, peer */
  GW_EVENT_DISCONNECTED, /* client; detail: enum gw_end */
  GW_EVENT_SECURED,      /* client; detail: enum gw_security */
  GW_EVENT_SUBSCRIBED,   /* client, index; detail: bit 0 notify, bit 1 indicate */
  GW_EVENT_REFUSED_READ, /* client, index; detail: ATT error code */
  GW_EVENT_REFUSED_WRITE,
  GW_EVENT_ARMED,    /* index; number: due, on the board's millisecond clock */
  GW_EVENT_DISARMED, /* index */
  GW_EVENT_LOST      /* number: events for which there was no room, before this one */
};

struct gw_event {
  enum gw_event_kind kind;
  uint32_t ms; /* the board's clock: milliseconds since power-up, modulo 2^32 */
  uint32_t client;
  uint32_t number;
  uint16_t index;
  uint16_t length;
  const uint8_t *value; /* until the next call */
  enum gw_cause cause;
  uint8_t detail;
  struct gw_peer peer;
};

/** Takes the oldest event; false when there is none. In the main loop only. */
bool gw_board_next_event(struct gw_board *board, struct gw_event *event);

#ifdef __cplusplus
}
#endif
#endif
