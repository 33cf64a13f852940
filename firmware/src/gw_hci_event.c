/* Events from the controller. One of the wrong length, of an unknown kind or for an unknown connection changes
   nothing. */
#include "gw_host_core.h"
#include "gw_memory.h"

/* Nobody said goodbye: supervision timeout, a link that never stood, what the controller itself broke off. */
static enum gw_end end_of(uint8_t reason) {
  bool goodbye = reason >= GW_HCI_REMOTE_USER_TERMINATED && reason <= GW_HCI_LOCAL_HOST_TERMINATED;
  return goodbye ? GW_TERMINATED : GW_LOST;
}

static void completed_packets(struct gw_host *host, const uint8_t *parameters, uint8_t length) {
  if (length == 0 || length != 1U + 4U * parameters[0]) return;
  for (unsigned at = 1; at + 4 <= length && at + 4 <= GW_EVENT_ROOM; at += 4) {
    struct gw_host_link *link = gw_link_find(host, gw_u16(parameters + at) & GW_HANDLE_MASK);
    if (link != NULL) gw_acl_completed(host, link, gw_u16(parameters + at + 2));
  }
}

/* Both kinds; the enhanced one has two addresses more. Core Vol 4 Part E 7.7.65.1, 7.7.65.10. */
static void connection_complete(struct gw_host *host, const uint8_t *parameters, unsigned more) {
  enum { PERIPHERAL = 1, RANDOM = 1 };
  uint16_t handle = gw_u16(parameters + 2);
  if (parameters[1] != GW_HCI_SUCCESS) {
    host->advertising = GW_ADVERTISING_OFF;
    return;
  }
  if (handle > GW_HIGHEST_HANDLE || parameters[4] != PERIPHERAL) return;
  struct gw_peer peer;
  /* 2 and 3: an identity that the controller resolved. */
  peer.type = parameters[5] & RANDOM;
  memcpy(peer.address, parameters + 6, sizeof peer.address);
  gw_link_open(host, handle, &peer, parameters + 12 + more);
}

static void le_event(struct gw_host *host, const uint8_t *parameters, uint8_t length) {
  enum { PLAIN = 19, ENHANCED = 31, ADDRESSES = 12, UPDATE = 10, KEY_REQUEST = 13, PARAMETER_REQUEST = 11 };
  uint8_t subevent = length == 0 ? 0 : parameters[0];
  if (subevent == GW_LE_CONNECTION_COMPLETE) {
    if (length == PLAIN) connection_complete(host, parameters, 0);
    return;
  }
  if (subevent == GW_LE_ENHANCED_CONNECTION_COMPLETE) {
    if (length == ENHANCED) connection_complete(host, parameters, ADDRESSES);
    return;
  }
  /* In the rest the handle stands first, but for a status. */
  bool update = subevent == GW_LE_CONNECTION_UPDATE_COMPLETE;
  if (length < UPDATE) return;
  struct gw_host_link *link = gw_link_find(host, gw_u16(parameters + (update ? 2 : 1)));
  if (link == NULL) return;
  if (update && length == UPDATE && parameters[1] == GW_HCI_SUCCESS) {
    gw_link_take_parameters(link, parameters + 4);
  } else if (subevent == GW_LE_KEY_REQUEST && length == KEY_REQUEST) {
    memcpy(link->key_request, parameters + 3, sizeof link->key_request);
    gw_set_task(link, GW_TASK_KEY);
  } else if (subevent == GW_LE_PARAMETER_REQUEST && length == PARAMETER_REQUEST) {
    memcpy(link->wish, parameters + 3, sizeof link->wish);
    gw_set_task(link, GW_TASK_WISH);
  }
}

/* Events with a status and a handle in front. */
static void link_event(struct gw_host *host, uint8_t code, const uint8_t *parameters, uint8_t length) {
  uint8_t expected = code == GW_EV_KEY_REFRESH ? 3 : 4;
  if (length != expected || parameters[0] != GW_HCI_SUCCESS) return;
  struct gw_host_link *link = gw_link_find(host, gw_u16(parameters + 1));
  if (link == NULL) return;
  if (code == GW_EV_DISCONNECTION_COMPLETE) {
    gw_link_close(host, link, end_of(parameters[3]));
  } else if (host->security != NULL) {
    bool on = code == GW_EV_KEY_REFRESH || parameters[3] != 0;
    host->security->encrypted(host->security->user, gw_host_number(host, link), on);
  }
}

void gw_event_take(struct gw_host *host, uint8_t code, const uint8_t *parameters, uint8_t length) {
  enum { ANSWER = 3, STATUS = 4 };
  switch (code) {
  case GW_EV_COMMAND_COMPLETE:
    if (length >= ANSWER) {
      gw_command_answered(host, parameters[0], gw_u16(parameters + 1), parameters + ANSWER, (uint8_t)(length - ANSWER));
    }
    return;
  case GW_EV_COMMAND_STATUS:
    if (length == STATUS) gw_command_answered(host, parameters[1], gw_u16(parameters + 2), parameters, 1);
    return;
  case GW_EV_HARDWARE_ERROR:
    if (length == 1) gw_host_fail(host);
    return;
  default:
    break;
  }
  if (host->state != GW_HOST_UP) return;
  if (code == GW_EV_COMPLETED_PACKETS) {
    completed_packets(host, parameters, length);
  } else if (code == GW_EV_LE) {
    le_event(host, parameters, length);
  } else if (code == GW_EV_DISCONNECTION_COMPLETE || code == GW_EV_ENCRYPTION_CHANGE || code == GW_EV_KEY_REFRESH) {
    link_event(host, code, parameters, length);
  }
}
