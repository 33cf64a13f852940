/* A board's values and the GATT server that answers for them: everything above ATT. No radio and no operating system is
   known here: a host (gw_host.h, or a vendor's) carries the PDUs, a port gives time.

   Threads: gw_att_open, gw_att_close and gw_att_receive may run in the radio's context (an interrupt, a vendor's task);
   all else runs in the main loop. Handlers run in gw_board_poll only. */
#ifndef GW_BOARD_H
#define GW_BOARD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Connections at once, 1..8. */
#ifndef GW_CONNECTIONS
#define GW_CONNECTIONS 2
#endif

/** Names a connection: 0..GW_CONNECTIONS-1. */
typedef uint8_t gw_connection;

/** What made a value change; the last word of a tell line (docs/console.md). */
enum gw_cause { GW_START, GW_RIG, GW_AIR, GW_CONSOLE, GW_FAILSAFE };

/** How a connection ended. */
enum gw_end { GW_LOST, GW_TERMINATED };

/** What a link is; each level includes those before it. */
enum gw_security { GW_OPEN, GW_ENCRYPTED, GW_AUTHENTICATED, GW_SECURE_CONNECTIONS };

enum gw_status {
  GW_OK = 0,
  GW_ERROR_TABLE = -1,  /* not a packed table, or one of another version */
  GW_ERROR_MEMORY = -2, /* less memory than gw_board_memory() says, or not aligned to 4 */
  GW_ERROR_INDEX = -3,  /* no such value */
  GW_ERROR_LENGTH = -4, /* refused: length */
  GW_ERROR_VALUE = -5   /* refused: encoding or range */
};

/** What a board needs of its surroundings; each call gets `user` back. */
struct gw_port {
  void *user;
  /** A free-running clock, microseconds modulo 2^32; gw_board_poll must run at least once an hour. */
  uint32_t (*micros)(void *user);
  /** Sends one ATT PDU. A response always finds room (one request is outstanding); false for a notification or an
      indication means: not now, ask again in a later poll. `pdu` is copied before return. */
  bool (*att_send)(void *user, gw_connection connection, const uint8_t *pdu, uint16_t length);
  /** Ends a connection: a transaction timed out, or the console said so. */
  void (*disconnect)(void *user, gw_connection connection);
  /** Keep the radio's context out, and let it in again; null where both contexts are one. Never nested. */
  void (*lock)(void *user);
  void (*unlock)(void *user);
};

struct gw_board;

/** Called from gw_board_poll after a value changed, once for the latest of several changes; `value` is valid in the
    call only. */
typedef void (*gw_changed)(void *user, uint16_t index, const uint8_t *value, uint16_t length, enum gw_cause cause);

#ifdef __cplusplus
}
#endif
#endif
