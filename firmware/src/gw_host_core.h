/* What the host's own files share. */
#ifndef GW_HOST_CORE_H
#define GW_HOST_CORE_H

#include "gw_hci.h"
#include "gw_host.h"
#include "gw_le.h"

/* `state`. */
enum {
  GW_HOST_DOWN,     /* the controller is to be reset when `pause` has passed since `since` */
  GW_HOST_STARTING, /* `step` of its bring-up */
  GW_HOST_UP
};

/* `advertising`. */
enum { GW_ADVERTISING_OFF, GW_ADVERTISING_ON, GW_ADVERTISING_REFUSED };

/* `tasks` of a link. */
enum {
  GW_TASK_DISCONNECT = 0x01,
  GW_TASK_KEY = 0x02,
  GW_TASK_WISH = 0x04, /* to be answered */
  GW_TASK_PHY = 0x08,
  GW_TASK_DATA_LENGTH = 0x10,
  GW_TASK_PARAMETERS = 0x20, /* to be looked at when the pause after a connection is over */
  GW_FRAME_OPEN = 0x4000,    /* a frame is coming in */
  GW_LINK_OPEN = 0x8000
};

enum { GW_NO_LINK = 0xFF, GW_NO_HANDLE = 0xFFFF };

/* Channels, Core Vol 3 Part A 2.1. */
enum { GW_CHANNEL_ATT = 4, GW_CHANNEL_SIGNALLING = 5, GW_CHANNEL_SECURITY = 6 };

/* In front of a frame: indicator and header of its first fragment, then the header of L2CAP. */
enum { GW_ACL_HEADER = 5, GW_L2CAP_HEADER = 4, GW_FRAME_HEADER = 9 };

static inline uint32_t gw_host_now(const struct gw_host *host) { return host->port.micros(host->port.user); }

static inline uint8_t gw_host_number(const struct gw_host *host, const struct gw_host_link *link) {
  return (uint8_t)(link - host->links);
}

static inline bool gw_is_open(const struct gw_host_link *link) { return (link->tasks & GW_LINK_OPEN) != 0; }

static inline bool gw_has_task(const struct gw_host_link *link, unsigned task) { return (link->tasks & task) != 0; }

static inline void gw_set_task(struct gw_host_link *link, unsigned task) {
  link->tasks = (uint16_t)(link->tasks | task);
}

static inline void gw_clear_task(struct gw_host_link *link, unsigned task) {
  link->tasks = (uint16_t)(link->tasks & ~task);
}

/* host */

/** The controller is of no use any more: connections end as lost, and it is reset. */
void gw_host_fail(struct gw_host *host);
/** Makes a random static address of six octets. */
void gw_host_take_address(struct gw_host *host, const uint8_t *octets);

/* reader */

void gw_h4_receive(struct gw_host *host, const uint8_t *octets, size_t length);
/** From here on everything is thrown away until the controller has confirmed a reset. */
void gw_h4_lose(struct gw_host *host);

/* commands */

/** Sends what is to be sent, as far as the controller allows. */
void gw_command_work(struct gw_host *host);
/** The controller answered. @param returns its status and return parameters */
void gw_command_answered(struct gw_host *host, uint8_t credit, uint16_t opcode, const uint8_t *returns, uint8_t length);

/* events */

/** @param parameters `length` octets, of which GW_EVENT_ROOM at most are there */
void gw_event_take(struct gw_host *host, uint8_t code, const uint8_t *parameters, uint8_t length);

/* links */

/** The link of a handle; null for none. */
struct gw_host_link *gw_link_find(struct gw_host *host, unsigned handle);
/** @param connection parameters of the event from its handle on */
void gw_link_open(struct gw_host *host, uint16_t handle, const struct gw_peer *peer, const uint8_t *parameters);
void gw_link_close(struct gw_host *host, struct gw_host_link *link, enum gw_end end);
void gw_link_take_parameters(struct gw_host_link *link, const uint8_t *parameters);
/** Looks at the parameters of connections whose pause is over. @return microseconds to the next */
uint32_t gw_link_improve(struct gw_host *host);

/* frames to the controller */

/** Puts a frame together. @return false: the frame is in use */
bool gw_frame_put(struct gw_frame *frame, uint16_t channel, const uint8_t *payload, uint16_t length);
/** Gives the controller as many fragments as it has room for. */
void gw_acl_work(struct gw_host *host);
/** The controller has done with so many fragments. */
void gw_acl_completed(struct gw_host *host, struct gw_host_link *link, uint16_t count);
/** Notifications and indications may have all room but this. */
static inline uint8_t gw_acl_reserve(const struct gw_host *host) { return host->controller.acl_count > 1 ? 1 : 0; }

/* frames from the controller */

/** Octets of payload that are kept; one more than ATT takes, so that a longer PDU is seen to be. */
uint16_t gw_l2cap_room(const struct gw_host *host);
void gw_l2cap_begin(struct gw_host_link *link, bool continuing);
void gw_l2cap_octets(struct gw_host *host, struct gw_host_link *link, const uint8_t *octets, uint16_t length);
/** The ACL packet is over: a frame that is whole is handed on. */
void gw_l2cap_end(struct gw_host *host, struct gw_host_link *link);

/* channels */

/** @param payload `length` octets, of which gw_l2cap_room() at most are there */
void gw_signalling_take(struct gw_host_link *link, const uint8_t *payload, uint16_t length);
/** Asks the central for the contract's connection parameters. @return false: not now */
bool gw_signalling_ask(struct gw_host_link *link, const struct gw_radio *radio);
void gw_security_take(struct gw_host *host, struct gw_host_link *link, const uint8_t *pdu, uint16_t length);

#endif
