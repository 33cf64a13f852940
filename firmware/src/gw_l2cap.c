/* Frames from the controller: payload goes straight into its connection's buffer. What is no frame is dropped, and the
   next first fragment begins anew (Core Vol 3 Part A 7.2.2). */
#include "gw_host_core.h"
#include "gw_memory.h"

/** A longer frame than any channel could take is dropped as soon as its length is known. */
enum { LONGEST_FRAME = 1024 };

uint16_t gw_l2cap_room(const struct gw_host *host) {
  struct gw_radio radio;
  gw_table_radio(host->table, &radio);
  return (uint16_t)(radio.mtu + 1U);
}

void gw_l2cap_begin(struct gw_host_link *link, bool continuing) {
  if (continuing) return;
  gw_set_task(link, GW_FRAME_OPEN);
  link->have = 0;
}

static unsigned payload_length(const struct gw_host_link *link) { return gw_u16(link->header); }

void gw_l2cap_octets(struct gw_host *host, struct gw_host_link *link, const uint8_t *octets, uint16_t length) {
  if (!gw_has_task(link, GW_FRAME_OPEN)) return;
  while (length > 0 && link->have < GW_L2CAP_HEADER) {
    link->header[link->have++] = *octets++;
    length--;
  }
  if (link->have < GW_L2CAP_HEADER) return;
  unsigned at = (unsigned)link->have - GW_L2CAP_HEADER;
  if (payload_length(link) > LONGEST_FRAME || at + length > payload_length(link)) {
    gw_clear_task(link, GW_FRAME_OPEN);
    return;
  }
  unsigned room = gw_l2cap_room(host);
  if (at < room) memcpy(link->received + at, octets, at + length > room ? room - at : length);
  link->have = (uint16_t)(link->have + length);
}

void gw_l2cap_end(struct gw_host *host, struct gw_host_link *link) {
  if (!gw_has_task(link, GW_FRAME_OPEN) || link->have < GW_L2CAP_HEADER) return;
  uint16_t length = (uint16_t)payload_length(link);
  if ((unsigned)link->have - GW_L2CAP_HEADER < length) return;
  gw_clear_task(link, GW_FRAME_OPEN);
  uint16_t kept = gw_l2cap_room(host);
  if (length < kept) kept = length;
  switch (gw_u16(link->header + 2)) {
  case GW_CHANNEL_ATT:
    gw_att_receive(host->board, gw_host_number(host, link), link->received, kept);
    break;
  case GW_CHANNEL_SIGNALLING:
    gw_signalling_take(link, link->received, length);
    break;
  case GW_CHANNEL_SECURITY:
    gw_security_take(host, link, link->received, kept);
    break;
  default: /* no such channel here: ignored, there is nobody to tell */
    break;
  }
}
