/* Reads packets from the controller's stream, however it is cut. An octet that begins no packet, or a controller that
   fell silent, means that the two are out of step: then all octets are thrown away until Command Complete of Reset,
   with status 0, passes by (Core Vol 4 Part A 4). */
#include "gw_host_core.h"
#include "gw_memory.h"

/* `reading`. */
enum { READ_TYPE, READ_HEADER, READ_PAYLOAD, READ_LOST };

/* The window in `event` while lost: 04 0E 04 xx 03 0C 00. */
enum { WINDOW = 7, WINDOW_CODE = 1, WINDOW_LENGTH = 2, WINDOW_CREDIT = 3 };

void gw_h4_lose(struct gw_host *host) {
  host->reading = READ_LOST;
  memset(host->event, 0, WINDOW);
}

static void look_for_reset(struct gw_host *host, uint8_t octet) {
  uint8_t *window = host->event;
  for (unsigned i = 1; i < WINDOW; i++) window[i - 1] = window[i];
  window[WINDOW - 1] = octet;
  if (window[0] != GW_H4_EVENT || window[WINDOW_CODE] != GW_EV_COMMAND_COMPLETE || window[WINDOW_LENGTH] != 4) return;
  if (gw_u16(window + WINDOW_CREDIT + 1) != GW_HCI_RESET || octet != GW_HCI_SUCCESS) return;
  host->reading = READ_TYPE;
  gw_event_take(host, GW_EV_COMMAND_COMPLETE, window + WINDOW_CREDIT, 4);
}

static void read_type(struct gw_host *host, uint8_t type) {
  static const uint8_t header_sizes[] = {0, 0, 4, 3, 2, 4};
  if (type >= sizeof header_sizes || header_sizes[type] == 0) {
    gw_host_fail(host);
    return;
  }
  host->packet = type;
  host->header_size = header_sizes[type];
  host->have = 0;
  host->reading = READ_HEADER;
}

static void end_packet(struct gw_host *host) {
  host->reading = READ_TYPE;
  if (host->packet == GW_H4_EVENT) {
    gw_event_take(host, host->header[0], host->event, host->header[1]);
  } else if (host->packet == GW_H4_ACL && host->acl_link != GW_NO_LINK) {
    gw_l2cap_end(host, &host->links[host->acl_link]);
  }
}

static void read_header(struct gw_host *host, uint8_t octet) {
  host->header[host->have++] = octet;
  if (host->have < host->header_size) return;
  host->reading = READ_PAYLOAD;
  host->have = 0;
  switch (host->packet) {
  case GW_H4_EVENT:
    host->left = host->header[1];
    break;
  case GW_H4_SYNC:
    host->left = host->header[2];
    break;
  case GW_H4_ISO:
    host->left = gw_u16(host->header + 2) & 0x3FFF;
    break;
  default: {
    uint16_t word = gw_u16(host->header);
    struct gw_host_link *link = gw_link_find(host, word & GW_HANDLE_MASK);
    host->left = gw_u16(host->header + 2);
    host->acl_link = link == NULL ? GW_NO_LINK : gw_host_number(host, link);
    if (link != NULL) gw_l2cap_begin(link, ((word >> 12) & 3) == 1);
  }
  }
  if (host->left == 0) end_packet(host);
}

static size_t read_payload(struct gw_host *host, const uint8_t *octets, size_t length) {
  uint16_t take = length < host->left ? (uint16_t)length : host->left;
  if (host->packet == GW_H4_EVENT) {
    unsigned room = (unsigned)GW_EVENT_ROOM - host->have;
    uint8_t keep = take < room ? (uint8_t)take : (uint8_t)room;
    memcpy(host->event + host->have, octets, keep);
    host->have = (uint8_t)(host->have + keep);
  } else if (host->packet == GW_H4_ACL && host->acl_link != GW_NO_LINK) {
    gw_l2cap_octets(host, &host->links[host->acl_link], octets, take);
  }
  host->left = (uint16_t)(host->left - take);
  if (host->left == 0) end_packet(host);
  return take;
}

void gw_h4_receive(struct gw_host *host, const uint8_t *octets, size_t length) {
  while (length > 0) {
    size_t used = 1;
    switch (host->reading) {
    case READ_TYPE:
      read_type(host, *octets);
      break;
    case READ_HEADER:
      read_header(host, *octets);
      break;
    case READ_PAYLOAD:
      used = read_payload(host, octets, length);
      break;
    default:
      look_for_reset(host, *octets);
    }
    octets += used;
    length -= used;
  }
}
