/* Frames to the controller: never more fragments than it has room for (Core Vol 4 Part E 4.1.1), a connection's
   frames one behind the other, connections by turns. */
#include "gw_host_core.h"
#include "gw_memory.h"

bool gw_frame_put(struct gw_frame *frame, uint16_t channel, const uint8_t *payload, uint16_t length) {
  if (frame->length > 0) return false;
  uint8_t *octets = frame->octets + GW_ACL_HEADER;
  gw_put16(octets, length);
  gw_put16(octets + 2, channel);
  memcpy(octets + GW_L2CAP_HEADER, payload, length);
  frame->length = (uint16_t)(GW_L2CAP_HEADER + length);
  frame->sent = 0;
  return true;
}

/* What a connection sends next; null for nothing. What was begun is finished first; a side frame is one fragment. */
static struct gw_frame *next_frame(struct gw_host *host, struct gw_host_link *link) {
  struct gw_frame *news = host->news.length > 0 && host->news_link == gw_host_number(host, link) ? &host->news : NULL;
  if (news == NULL || news->sent == 0) {
    if (link->side.length > 0 && link->response.sent == 0) return &link->side;
    if (link->response.length > 0) return &link->response;
  }
  /* The last room is for responses, or for what stands in front of one. */
  if (host->acl_free <= gw_acl_reserve(host) && link->response.length == 0) return NULL;
  return news;
}

/* Its header takes the place of octets that were sent before. @return false: the port took nothing */
static bool send_fragment(struct gw_host *host, struct gw_host_link *link, struct gw_frame *frame) {
  enum { CONTINUING = 0x1000 };
  uint16_t length = (uint16_t)(frame->length - frame->sent);
  if (length > host->controller.acl_length) length = host->controller.acl_length;
  uint8_t *packet = frame->octets + frame->sent;
  packet[0] = GW_H4_ACL;
  gw_put16(packet + 1, (uint16_t)(link->handle | (frame->sent > 0 ? CONTINUING : 0U)));
  gw_put16(packet + 3, length);
  if (!host->port.send(host->port.user, packet, (size_t)GW_ACL_HEADER + length)) {
    host->blocked = true;
    return false;
  }
  frame->sent = (uint16_t)(frame->sent + length);
  if (frame->sent == frame->length) {
    frame->length = 0;
    frame->sent = 0;
  }
  link->at_controller++;
  host->acl_free--;
  return true;
}

void gw_acl_work(struct gw_host *host) {
  unsigned idle = 0;
  if (host->state != GW_HOST_UP) return;
  while (host->acl_free > 0 && idle < GW_CONNECTIONS) {
    struct gw_host_link *link = &host->links[host->turn];
    struct gw_frame *frame = gw_is_open(link) ? next_frame(host, link) : NULL;
    if (frame != NULL && !send_fragment(host, link, frame)) return;
    idle = frame == NULL ? idle + 1 : 0;
    host->turn = (uint8_t)((host->turn + 1U) % GW_CONNECTIONS);
  }
}

void gw_acl_completed(struct gw_host *host, struct gw_host_link *link, uint16_t count) {
  /* A controller that gives back more than it was given would make the host flood it. */
  if (count > link->at_controller) count = link->at_controller;
  link->at_controller = (uint16_t)(link->at_controller - count);
  host->acl_free = (uint8_t)(host->acl_free + count);
}
