#include "gw_host.h"

#include "gw_host_core.h"
#include "gw_memory.h"

/** A controller that has not answered for so long has hung; real ones answer a reset within a few 100 ms. */
#define PATIENCE 2000000U

/** Between two attempts to bring a controller up, or to advertise. */
#define ATTEMPT_PAUSE 1000000U

/** When the port took no octets: about what a serial port of 115 200 bit/s sends in that time is ten of them. */
#define PORT_PAUSE 1000U

/* Octets of a frame as long as the MTU allows, with room for headers. */
static size_t frame_room(const struct gw_radio *radio) { return (size_t)GW_FRAME_HEADER + radio->mtu; }

size_t gw_host_memory(const uint8_t *table) {
  struct gw_radio radio;
  gw_table_radio(table, &radio);
  return GW_HOST_MEMORY((size_t)radio.mtu);
}

void gw_host_take_address(struct gw_host *host, const uint8_t *octets) {
  enum { STATIC = 0xC0, TOP = 5 };
  unsigned all = 0xFF;
  unsigned any = 0;
  for (unsigned i = 0; i < sizeof host->address; i++) {
    uint8_t octet = i == TOP ? (uint8_t)(octets[i] | STATIC) : octets[i];
    host->address[i] = octet;
    all &= octet;
    any |= i == TOP ? octet & 0x3FU : octet;
  }
  /* Neither all ones nor all zeros, Core Vol 6 Part B 1.3.2.1. */
  if (all == 0xFF || any == 0) host->address[0] ^= 1;
  host->has_address = true;
}

enum gw_status gw_host_init(struct gw_host *host, struct gw_board *board, void *memory, size_t memory_size,
                            const uint8_t *address) {
  struct gw_host_port port = host->port;
  struct gw_radio radio;
  uint8_t *octets = memory;
  if (memory_size < gw_host_memory(board->table)) return GW_ERROR_MEMORY;
  gw_table_radio(board->table, &radio);
  memset(host, 0, sizeof *host);
  host->board = board;
  host->table = board->table;
  host->port = port;
  host->news.octets = octets;
  octets += frame_room(&radio);
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    struct gw_host_link *link = &host->links[i];
    link->side.octets = link->side_octets;
    link->response.octets = octets;
    octets += frame_room(&radio);
    link->received = octets;
    octets += (size_t)radio.mtu + 1;
  }
  if (address != NULL) gw_host_take_address(host, address);
  host->acl_link = GW_NO_LINK;
  host->stray = GW_NO_HANDLE;
  host->since = gw_host_now(host);
  gw_h4_lose(host);
  return GW_OK;
}

static uint32_t port_micros(void *user) { return gw_host_now(user); }

static bool port_att_send(void *user, gw_connection connection, const uint8_t *pdu, uint16_t length) {
  enum { NOTIFICATION = 0x1B, INDICATION = 0x1D, MULTIPLE_NOTIFICATION = 0x23 };
  struct gw_host *host = user;
  if (connection >= GW_CONNECTIONS || !gw_is_open(&host->links[connection])) return false;
  struct gw_frame *frame = &host->links[connection].response;
  if (pdu[0] == NOTIFICATION || pdu[0] == INDICATION || pdu[0] == MULTIPLE_NOTIFICATION) {
    /* While it cannot leave it is better not taken: the board then sends the latest value. */
    if (host->state != GW_HOST_UP || host->acl_free <= gw_acl_reserve(host)) return false;
    if (host->news.length > 0) return false;
    frame = &host->news;
    host->news_link = connection;
  }
  if (!gw_frame_put(frame, GW_CHANNEL_ATT, pdu, length)) return false;
  gw_acl_work(host);
  return true;
}

static void port_disconnect(void *user, gw_connection connection) {
  struct gw_host *host = user;
  if (connection < GW_CONNECTIONS && gw_is_open(&host->links[connection])) {
    gw_set_task(&host->links[connection], GW_TASK_DISCONNECT);
    gw_command_work(host);
  }
}

void gw_host_fill_port(struct gw_host *host, const struct gw_host_port *from, struct gw_port *port) {
  host->port = *from;
  port->user = host;
  port->micros = port_micros;
  port->att_send = port_att_send;
  port->disconnect = port_disconnect;
  port->lock = NULL;
  port->unlock = NULL;
}

void gw_host_use_security(struct gw_host *host, const struct gw_security_manager *security) {
  host->security = security;
}

void gw_host_fail(struct gw_host *host) {
  /* At once after it was ready: then a reset most likely helps. */
  gw_h4_lose(host);
  if (host->state == GW_HOST_DOWN) return;
  host->pause = host->state == GW_HOST_UP ? 0 : ATTEMPT_PAUSE;
  host->state = GW_HOST_DOWN;
  host->since = gw_host_now(host);
  host->controller.ready = false;
  host->asked = 0;
  host->stray = GW_NO_HANDLE;
  host->advertising = GW_ADVERTISING_OFF;
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    if (gw_is_open(&host->links[i])) gw_link_close(host, &host->links[i], GW_LOST);
  }
}

static void start(struct gw_host *host) {
  host->state = GW_HOST_STARTING;
  host->step = 0;
  host->credit = 1;
  host->asked_at = gw_host_now(host);
  memset(&host->controller, 0, sizeof host->controller);
  gw_h4_lose(host);
}

static void work(struct gw_host *host) {
  host->blocked = false;
  gw_command_work(host);
  gw_acl_work(host);
}

void gw_host_receive(struct gw_host *host, const uint8_t *octets, size_t length) {
  gw_h4_receive(host, octets, length);
  work(host);
}

static uint32_t earlier(uint32_t a, uint32_t b) { return a < b ? a : b; }

/* @return microseconds that are left of a time, 0: it has passed */
static uint32_t left_of(const struct gw_host *host, uint32_t since, uint32_t time) {
  uint32_t passed = gw_host_now(host) - since;
  return passed < time ? time - passed : 0;
}

/* Whether the controller owes an answer, or leave to ask. */
static bool is_waited_for(const struct gw_host *host) {
  return host->state != GW_HOST_DOWN && (host->asked != 0 || host->credit == 0);
}

static bool has_links(const struct gw_host *host) {
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    if (gw_is_open(&host->links[i])) return true;
  }
  return false;
}

uint32_t gw_host_poll(struct gw_host *host) {
  uint32_t next = UINT32_MAX;
  if (is_waited_for(host) && left_of(host, host->asked_at, PATIENCE) == 0) gw_host_fail(host);
  if (host->state == GW_HOST_DOWN) {
    uint32_t left = left_of(host, host->since, host->pause);
    if (left > 0) return left;
    start(host);
  }
  if (host->state == GW_HOST_UP) next = gw_link_improve(host);
  if (host->advertising == GW_ADVERTISING_REFUSED && !has_links(host)) {
    uint32_t left = left_of(host, host->since, ATTEMPT_PAUSE);
    if (left == 0) host->advertising = GW_ADVERTISING_OFF;
    else next = earlier(next, left);
  }
  bool blocked = host->blocked;
  work(host);
  /* The board may have more to say now. */
  if (blocked && !host->blocked) return 0;
  if (is_waited_for(host)) next = earlier(next, left_of(host, host->asked_at, PATIENCE));
  return host->blocked ? earlier(next, PORT_PAUSE) : next;
}
