/* Words that all parts of the runtime share. */
#ifndef GW_TYPES_H
#define GW_TYPES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** Put before a packed table: it begins at an even address. */
#if defined(__GNUC__)
#define GW_TABLE_ALIGNED __attribute__((aligned(4)))
#else
#define GW_TABLE_ALIGNED
#endif

/** Connections at once, 1..8. The same for all files of a build: it sizes `struct gw_board`. */
#ifndef GW_CONNECTIONS
#define GW_CONNECTIONS 2
#endif

/** 1: the table was compiled together with this code, and gw_table_check() looks at its sum only, not at every offset;
    saves 1.7 KB of flash. 0: a table may come from anywhere. */
#ifndef GW_TABLE_TRUSTED
#define GW_TABLE_TRUSTED 0
#endif

/** Octets of memory for events that wait for the console, at least; 0 leaves events out of the code. */
#ifndef GW_EVENT_OCTETS
#define GW_EVENT_OCTETS 256
#endif

/** Names a connection that is open: 0..GW_CONNECTIONS-1, used again after it ended. */
typedef uint8_t gw_connection;

/** What made a value change; the last word of a tell line (docs/console.md). */
enum gw_cause { GW_START, GW_RIG, GW_AIR, GW_CONSOLE, GW_FAILSAFE };

/** How a connection ended. */
enum gw_end { GW_LOST, GW_TERMINATED };

/** What a link is; each level includes those before it. */
enum gw_security { GW_OPEN, GW_ENCRYPTED, GW_AUTHENTICATED, GW_SECURE_CONNECTIONS };

enum gw_status {
  GW_OK = 0,
  GW_ERROR_TABLE = -1,    /* not a packed table, damaged, or of another version */
  GW_ERROR_MEMORY = -2,   /* less memory than gw_board_memory() says, or not aligned to 4 */
  GW_ERROR_INDEX = -3,    /* no such value */
  GW_ERROR_LENGTH = -4,   /* refused: length */
  GW_ERROR_ENCODING = -5, /* refused: octets that are no value of the type */
  GW_ERROR_RANGE = -6     /* refused: a value that the contract does not allow */
};

/** A client's address as HCI events give it: `type` 0 public, 1 random; `address` least significant octet first. */
struct gw_peer {
  uint8_t type;
  uint8_t address[6];
};

/** What a board needs of its surroundings; each call gets `user` back. */
struct gw_port {
  void *user;
  /** A free-running clock, microseconds modulo 2^32; gw_board_poll must run at least once an hour. */
  uint32_t (*micros)(void *user);
  /** Sends one ATT PDU. A response always finds room (one request is outstanding); false for a notification or an
      indication means: not now, and gw_board_poll is to be called when there is room again. `pdu` is copied before
      return. */
  bool (*att_send)(void *user, gw_connection connection, const uint8_t *pdu, uint16_t length);
  /** Ends a connection: a transaction timed out, or the console said so. gw_att_close follows when it has ended. */
  void (*disconnect)(void *user, gw_connection connection);
  /** Keep the radio's context out, and let it in again; both null where there is one context only. Never nested. */
  void (*lock)(void *user);
  void (*unlock)(void *user);
};

#endif
