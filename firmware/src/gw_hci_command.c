/* Commands to the controller: one at a time, and no more than it allows (Core Vol 4 Part E 4.4). There is no queue:
   what is to be said follows from what is to be done. */
#include "gw_hci_bring_up.h"
#include "gw_host_core.h"
#include "gw_memory.h"

enum { COMMAND_HEADER = 4, MOST_PARAMETERS = 32 };

/** Coded PHYs take their time; the longest there is. */
enum { LONGEST_PACKET_TIME = 17040 };

/* Whether a link may have these parameters, Core Vol 4 Part E 7.8.31, Vol 6 Part B 4.5.1 and 4.5.2. */
static bool is_allowed(const uint8_t *wish) {
  uint16_t min = gw_u16(wish);
  uint16_t max = gw_u16(wish + 2);
  uint16_t latency = gw_u16(wish + 4);
  uint16_t timeout = gw_u16(wish + 6);
  if (min < 6 || min > max || max > 3200 || latency > 499 || timeout < 10 || timeout > 3200) return false;
  /* timeout * 10 ms > 2 * (1 + latency) * interval * 1.25 ms */
  return 4 * (uint32_t)timeout > (1U + latency) * (uint32_t)max;
}

static uint16_t answer_key(struct gw_host *host, struct gw_host_link *link, uint8_t *parameters, uint8_t *length) {
  enum { KEY = 16, RANDOM = 8 };
  const uint8_t *asked = link->key_request;
  if (host->security == NULL || !host->security->key(host->security->user, gw_host_number(host, link), asked,
                                                     gw_u16(asked + RANDOM), parameters + 2)) {
    return GW_LE_KEY_NEGATIVE_REPLY;
  }
  *length = 2 + KEY;
  return GW_LE_KEY_REPLY;
}

static uint16_t answer_wish(const struct gw_host_link *link, uint8_t *parameters, uint8_t *length) {
  if (!is_allowed(link->wish)) {
    parameters[2] = GW_HCI_UNACCEPTABLE_PARAMETERS;
    *length = 3;
    return GW_LE_PARAMETER_NEGATIVE_REPLY;
  }
  memcpy(parameters + 2, link->wish, sizeof link->wish);
  gw_put16(parameters + 10, 0); /* connection events of any length */
  gw_put16(parameters + 12, UINT16_MAX);
  *length = 14;
  return GW_LE_PARAMETER_REPLY;
}

/* The first thing that is to be done for a link, as a command; its parameters begin with the handle. @return opcode, 0
   for nothing */
static uint16_t next_of_link(struct gw_host *host, struct gw_host_link *link, uint8_t *parameters, uint8_t *length,
                             unsigned *task) {
  struct gw_radio radio;
  gw_put16(parameters, link->handle);
  *length = 2;
  if (gw_has_task(link, *task = GW_TASK_DISCONNECT)) {
    parameters[2] = GW_HCI_REMOTE_USER_TERMINATED;
    *length = 3;
    return GW_HCI_DISCONNECT;
  }
  if (gw_has_task(link, *task = GW_TASK_KEY)) return answer_key(host, link, parameters, length);
  if (gw_has_task(link, *task = GW_TASK_WISH)) return answer_wish(link, parameters, length);
  gw_table_radio(host->table, &radio);
  if (gw_has_task(link, *task = GW_TASK_PHY)) {
    parameters[2] = 0;
    parameters[3] = radio.phy;
    parameters[4] = radio.phy;
    gw_put16(parameters + 5, radio.coding);
    *length = 7;
    return GW_LE_SET_PHY;
  }
  if (gw_has_task(link, *task = GW_TASK_DATA_LENGTH)) {
    enum { CODED = 4, OVERHEAD = 14, MICROSECONDS = 8 };
    gw_put16(parameters + 2, radio.data_length);
    gw_put16(parameters + 4, (radio.phy & CODED) != 0 ? LONGEST_PACKET_TIME
                                                      : (uint16_t)((radio.data_length + OVERHEAD) * MICROSECONDS));
    *length = 6;
    return GW_LE_SET_DATA_LENGTH;
  }
  return 0;
}

static uint16_t next_of_advertising(struct gw_host *host, uint8_t *parameters, uint8_t *length) {
  bool wanted = gw_board_advertises(host->board);
  if (wanted ? host->advertising != GW_ADVERTISING_OFF : host->advertising != GW_ADVERTISING_ON) return 0;
  parameters[0] = wanted;
  *length = 1;
  return GW_LE_SET_ADVERTISING_ENABLE;
}

/* @return whether the command is on its way */
static bool send(struct gw_host *host, uint8_t *packet, uint16_t opcode, uint8_t length) {
  packet[0] = GW_H4_COMMAND;
  gw_put16(packet + 1, opcode);
  packet[3] = length;
  if (!host->port.send(host->port.user, packet, (size_t)COMMAND_HEADER + length)) {
    host->blocked = true;
    return false;
  }
  host->credit--;
  host->asked = opcode;
  host->asked_at = gw_host_now(host);
  return true;
}

static void start_work(struct gw_host *host, uint8_t *packet) {
  uint16_t opcode = gw_bring_up_next(host);
  if (opcode != 0) {
    send(host, packet, opcode, gw_bring_up_fill(host, packet + COMMAND_HEADER));
    return;
  }
  host->state = GW_HOST_UP;
  host->controller.ready = true;
  host->acl_free = host->controller.acl_count;
  host->advertising = GW_ADVERTISING_OFF;
}

void gw_command_work(struct gw_host *host) {
  uint8_t packet[COMMAND_HEADER + MOST_PARAMETERS];
  uint8_t *parameters = packet + COMMAND_HEADER;
  uint8_t length = 0;
  uint16_t opcode = 0;
  if (host->state == GW_HOST_DOWN || host->asked != 0 || host->credit == 0) return;
  if (host->state == GW_HOST_STARTING) start_work(host, packet);
  if (host->state != GW_HOST_UP) return;
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    struct gw_host_link *link = &host->links[i];
    unsigned task = 0;
    if (gw_is_open(link)) opcode = next_of_link(host, link, parameters, &length, &task);
    if (opcode == 0) continue;
    if (send(host, packet, opcode, length)) {
      host->asked_link = (uint8_t)i;
      gw_clear_task(link, task);
    }
    return;
  }
  if (host->stray != GW_NO_HANDLE) {
    gw_put16(parameters, host->stray);
    parameters[2] = GW_HCI_REMOTE_USER_TERMINATED;
    host->asked_link = GW_NO_LINK;
    if (send(host, packet, GW_HCI_DISCONNECT, 3)) host->stray = GW_NO_HANDLE;
    return;
  }
  opcode = next_of_advertising(host, parameters, &length);
  if (opcode != 0) send(host, packet, opcode, length);
}

static void advertising_answered(struct gw_host *host, uint8_t status) {
  bool wanted = gw_board_advertises(host->board);
  if (status == GW_HCI_SUCCESS) {
    host->advertising = wanted ? GW_ADVERTISING_ON : GW_ADVERTISING_OFF;
  } else if (wanted) {
    /* No room for one more connection: tried again when one ends, or after a while. */
    host->advertising = GW_ADVERTISING_REFUSED;
    host->since = gw_host_now(host);
  }
}

void gw_command_answered(struct gw_host *host, uint8_t credit, uint16_t opcode, const uint8_t *returns,
                         uint8_t length) {
  bool awaited = opcode != 0 && opcode == host->asked;
  /* Patience counts from the answer, and from when leave was taken. */
  if (awaited || (host->asked == 0 && host->credit > 0)) host->asked_at = gw_host_now(host);
  host->credit = credit;
  if (!awaited) return;
  host->asked = 0;
  uint8_t status = length > 0 ? returns[0] : UINT8_MAX;
  if (host->state == GW_HOST_STARTING) {
    if (!gw_bring_up_answered(host, returns, length)) gw_host_fail(host);
  } else if (opcode == GW_LE_SET_ADVERTISING_ENABLE) {
    advertising_answered(host, status);
  } else if (opcode == GW_HCI_DISCONNECT && status == GW_HCI_UNKNOWN_CONNECTION && host->asked_link != GW_NO_LINK) {
    /* Gone already, though no event said so. */
    struct gw_host_link *link = &host->links[host->asked_link];
    if (gw_is_open(link)) gw_link_close(host, link, GW_TERMINATED);
  }
}
