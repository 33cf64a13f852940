/* A board's values and the GATT server that answers for them: everything above ATT. No radio and no operating system is
   known here: a host (gw_host.h, or a vendor's) carries the PDUs, a port gives time.

   Threads: gw_att_open, gw_att_close, gw_att_receive and gw_att_secure may run in the radio's context (an interrupt, a
   vendor's task); all else runs in the main loop. Handlers run in gw_board_poll only. */
#ifndef GW_BOARD_H
#define GW_BOARD_H

#include "gw_event.h"
#include "gw_table.h"
#include "gw_types.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Called from gw_board_poll after a value changed, once for the latest of several changes; `value` is valid in the
    call only. */
typedef void (*gw_changed)(void *user, uint16_t index, const uint8_t *value, uint16_t length, enum gw_cause cause);

/** One connection. For the board's own use. */
struct gw_link {
  uint64_t indicated_at; /* when the indication that waits for its confirmation went out */
  uint32_t client;       /* 0: not open */
  uint32_t since;        /* ms */
  struct gw_peer peer;
  uint8_t security;
  uint8_t key_size;
  uint8_t features;  /* Client Supported Features */
  uint8_t awareness; /* of the database: 0 aware, 1 unaware, 2 told */
  uint8_t flags;
  uint16_t mtu;
  uint16_t indicating; /* what waits for its confirmation */
  uint16_t changed_start; /* Service Changed that waits its turn; 0: none */
  uint16_t changed_end;
  uint16_t queued;   /* indications that wait their turn */
  uint16_t prepared; /* octets of the prepare queue in use */
};

/** A board at work; the caller owns it and looks at nothing in it. */
struct gw_board {
  const uint8_t *table;
  struct gw_port port;
  gw_changed changed;
  void *changed_user;

  /* Parts of the caller's memory. */
  uint8_t *values;      /* each at its slot; those that vary in length behind their length */
  uint8_t *states;      /* one octet a value: what its handler and policy wait for */
  uint8_t *touched;     /* one octet a value: how a client last touched it */
  uint32_t *touched_at; /* ms */
  struct gw_time *published; /* two a CCCD: last time, due time */
  struct gw_time *failsafes; /* deadlines */
  uint8_t *cccds;       /* a nibble each, connection by connection */
  uint16_t *queues;     /* indications that wait, connection by connection */
  uint8_t *prepared;    /* queues of prepared writes, connection by connection */
  uint8_t *pdu;         /* what is sent is made here; long writes too, before they are taken */
  uint8_t *copy;        /* a value while its handler looks at it */
  uint8_t *events;

  /* The clock. */
  uint64_t now;    /* microseconds since power-up */
  uint32_t micros; /* the port's clock at `now` */
  uint32_t ms;
  uint32_t ms_part; /* microseconds of the millisecond under way */

  uint32_t clients; /* so far */

  /* The ring of events. */
  uint32_t lost;
  uint16_t event_room;
  uint16_t event_head;
  uint16_t event_tail;
  uint16_t event_end;  /* where the last event before the wrap ends */
  uint16_t event_held; /* octets that the event handed out still needs */
  uint16_t told;       /* start values handed out so far, and the start event before them */

  struct gw_link links[GW_CONNECTIONS];
};

/** Octets of memory that a board with this table needs; 0 for octets that are no sound table. */
size_t gw_board_memory(const uint8_t *table, size_t size);

/** Powers a board up: start values, nobody connected. The table must stay where it is. `memory` is aligned to 4; what
    is in it does not matter. `port` is copied. */
enum gw_status gw_board_init(struct gw_board *board, const uint8_t *table, size_t size, void *memory,
                             size_t memory_size, const struct gw_port *port);

/** Names the function that is told of changes, whoever made them; null for none. */
void gw_board_on_change(struct gw_board *board, gw_changed changed, void *user);

/** Does what is due: failsafe values, handlers, publications, time-outs. Call it after every gw_att_… and gw_board_set,
    and when the time it returned has passed.
    @return microseconds until it next wants to run; UINT32_MAX: not before something happens */
uint32_t gw_board_poll(struct gw_board *board);

/** Changes the truth. Checked exactly as a client's write: length, encoding, range; nothing changes when refused. */
enum gw_status gw_board_set(struct gw_board *board, uint16_t index, const uint8_t *value, uint16_t length,
                            enum gw_cause cause);

/** The value in force, until the radio's context or the caller changes it. Null for an index that is none. */
const uint8_t *gw_board_get(const struct gw_board *board, uint16_t index, uint16_t *length);

/** A whole value, never torn by the radio's context. @return its length, of which at most `room` octets were copied */
uint16_t gw_board_copy(struct gw_board *board, uint16_t index, uint8_t *value, uint16_t room);

/** Milliseconds since power-up, modulo 2^32. */
uint32_t gw_board_ms(struct gw_board *board);

/* Connections. The caller numbers them; a number is free again after gw_att_close. */

/** Whether there is room for one more client, so that the host may advertise. */
bool gw_board_advertises(const struct gw_board *board);

void gw_att_open(struct gw_board *board, gw_connection connection, const struct gw_peer *peer);
void gw_att_close(struct gw_board *board, gw_connection connection, enum gw_end end);

/** One whole ATT PDU from the client. Answers with port->att_send before it returns. */
void gw_att_receive(struct gw_board *board, gw_connection connection, const uint8_t *pdu, uint16_t length);

/** What the Security Manager has made of a link. @param key_size octets of the encryption key, 7..16 */
void gw_att_secure(struct gw_board *board, gw_connection connection, enum gw_security security, uint8_t key_size);

/** The attributes between these handles, both inclusive, are other than clients may remember. */
void gw_att_database_changed(struct gw_board *board, uint16_t start, uint16_t end);

/* For the console and the screen. */

struct gw_client {
  uint32_t number; /* from 1, never used twice while the board runs */
  uint32_t since;  /* ms */
  struct gw_peer peer;
  enum gw_security security;
  uint16_t mtu;
};

/** Who is on a connection; false when nobody is. */
bool gw_board_client(const struct gw_board *board, gw_connection connection, struct gw_client *client);

/** What a client subscribed to: bit 0 notify, bit 1 indicate. */
uint8_t gw_board_subscription(const struct gw_board *board, gw_connection connection, uint16_t index);

enum gw_access { GW_UNTOUCHED, GW_READ, GW_WRITTEN, GW_NOTIFIED, GW_INDICATED };

/** How and when a client last touched a value. */
enum gw_access gw_board_last_access(const struct gw_board *board, uint16_t index, uint32_t *ms);

/** Asks the host to end a connection. */
void gw_board_disconnect(struct gw_board *board, gw_connection connection);

#ifdef __cplusplus
}
#endif
#endif
