/* The host of a peripheral between a controller and a board: H4, HCI, L2CAP, and a Security Manager that refuses. The
   port gives it octets from the controller and takes octets to it (Core Vol 4 Part A); all runs in the main loop.

   Order: gw_host_fill_port, gw_board_init, gw_host_init; then, for ever: gw_host_receive with what came,
   gw_board_poll, gw_host_poll. */
#ifndef GW_HOST_H
#define GW_HOST_H

#include "gw_board.h"

#ifdef __cplusplus
extern "C" {
#endif

struct gw_host_port {
  void *user;
  /** Sends one whole H4 packet: takes all of the octets, or none and says false; gw_host_poll then tries again. They
      are copied or sent before return. Must not call gw_host_receive. */
  bool (*send)(void *user, const uint8_t *octets, size_t length);
  /** A free-running clock, microseconds modulo 2^32. */
  uint32_t (*micros)(void *user);
};

/** What a Security Manager (Core Vol 3 Part H) hangs in. Without one pairing is refused as not supported, and no link
    is ever encrypted. */
struct gw_security_manager {
  void *user;
  /** A PDU on its channel; valid in the call only. Longer ones than the table's MTU + 1 octets come cut to that. */
  void (*receive)(void *user, gw_connection connection, const uint8_t *pdu, uint16_t length);
  /** The central starts encryption. @param random 8 octets @param key 16 octets to be filled, least significant first
      @return false: there is no key */
  bool (*key)(void *user, gw_connection connection, const uint8_t *random, uint16_t diversifier, uint8_t *key);
  /** Encryption went on or off, or its key was refreshed. It calls gw_att_secure. */
  void (*encrypted)(void *user, gw_connection connection, bool on);
  /** The connection has ended. */
  void (*closed)(void *user, gw_connection connection);
};

/** Octets of the longest PDU that gw_host_security_send takes, and of the longest signalling packet. */
#define GW_SIDE_PDU 12

/** An L2CAP frame on its way to the controller, behind room for the header of its first fragment. */
struct gw_frame {
  uint8_t *octets;
  uint16_t length; /* 0: none */
  uint16_t sent;
};

/** One connection. For the host's own use. */
struct gw_host_link {
  struct gw_frame response; /* one ATT request is outstanding, so there is one response at most */
  struct gw_frame side;     /* signalling, Security Manager */
  uint8_t *received;        /* the payload of the frame that comes in */
  uint32_t since;           /* when it was made, microseconds */
  uint16_t handle;
  uint16_t tasks; /* what is to be done for it; 0x8000: it is open */
  uint16_t interval;
  uint16_t latency;
  uint16_t timeout;
  uint16_t at_controller; /* fragments that the controller has not done with */
  uint16_t have;          /* octets of the frame that comes in, header included */
  uint8_t header[4];
  uint8_t wish[8];        /* parameters that the central asks for */
  uint8_t key_request[10]; /* random number and diversifier */
  uint8_t side_octets[9 + GW_SIDE_PDU];
};

/** The longest event that is read whole: Number Of Completed Packets for 8 connections has 33 octets of parameters, LE
    Enhanced Connection Complete 31, and nothing else that the host reads has more. */
#define GW_EVENT_ROOM 33

/** A host at work; the caller owns it and looks at nothing in it but `controller`. */
struct gw_host {
  struct gw_board *board;
  const uint8_t *table;
  struct gw_host_port port;
  const struct gw_security_manager *security;

  /** What is known of the controller once it is ready. */
  struct {
    uint8_t version; /* of HCI: 10 = 5.1 */
    uint8_t flags;   /* the first octet of its LE features */
    uint8_t phys;    /* bit 1: 2M, bit 2: coded */
    uint8_t acl_count;
    uint16_t acl_length;
    bool ready;
  } controller;

  struct gw_frame news; /* the one notification or indication that waits, */
  uint8_t news_link;    /* and whose it is */
  uint8_t acl_free;
  uint8_t turn; /* whose fragment is next */

  /* Commands: one at a time. */
  uint8_t state;
  uint8_t step;
  uint8_t credit;
  uint8_t asked_link;
  uint16_t asked; /* opcode, 0: none */
  uint16_t stray; /* handle of a connection for which there is no room */
  uint32_t asked_at;
  uint32_t since; /* when `state` began, or when advertising was refused */
  uint32_t pause; /* before the controller is reset */
  uint8_t advertising;
  bool has_address;
  bool blocked; /* the port took no octets */
  uint8_t address[6];

  /* The reader of packets from the controller. */
  uint8_t reading;
  uint8_t packet;
  uint8_t have;
  uint8_t header_size;
  uint16_t left;
  uint8_t header[4];
  uint8_t acl_link;
  uint8_t event[GW_EVENT_ROOM];

  struct gw_host_link links[GW_CONNECTIONS];
};

/** Octets of memory that a host needs whose table has this MTU; for one that is at hand, gw_host_memory says it. */
#define GW_HOST_MEMORY(mtu) ((GW_CONNECTIONS + 1U) * (9U + (mtu)) + GW_CONNECTIONS * ((mtu) + 1U))

/** @param table a sound one */
size_t gw_host_memory(const uint8_t *table);

/** Fills in all that gw_board_init needs of a port, but for the locks: the host needs none. `from` is copied. */
void gw_host_fill_port(struct gw_host *host, const struct gw_host_port *from, struct gw_port *port);

/** Makes a host that has said nothing yet: the first gw_host_poll resets the controller.
    @param board initialised with the port that gw_host_fill_port filled in
    @param memory gw_host_memory() octets, at any alignment
    @param address six octets of the board's own, least significant first, that stay the same (a serial number,
           entropy kept since the first start): they become a random static address (Core Vol 6 Part B 1.3.2.1) by
           setting its two top bits. Null: the controller gives random ones, new at each start
    @return GW_ERROR_MEMORY: too little */
enum gw_status gw_host_init(struct gw_host *host, struct gw_board *board, void *memory, size_t memory_size,
                            const uint8_t *address);

/** Hangs in a Security Manager, before the first poll; it stays the caller's. */
void gw_host_use_security(struct gw_host *host, const struct gw_security_manager *security);

/** Sends one PDU on the Security Manager's channel. @return false: the last one still waits, or it is too long */
bool gw_host_security_send(struct gw_host *host, gw_connection connection, const uint8_t *pdu, uint16_t length);

/** Takes octets from the controller, cut anywhere. */
void gw_host_receive(struct gw_host *host, const uint8_t *octets, size_t length);

/** Does what is due. Call it after gw_host_receive and gw_board_poll, and when the time it returned has passed.
    @return microseconds until it next wants to run; UINT32_MAX: not before something happens */
uint32_t gw_host_poll(struct gw_host *host);

#ifdef __cplusplus
}
#endif
#endif
