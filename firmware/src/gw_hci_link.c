/* Connections of the host. */
#include "gw_host_core.h"
#include "gw_memory.h"

/** How long a peripheral leaves a new connection as it is: Core Vol 3 Part C 9.3.9, TGAP(conn_pause_peripheral). */
#define PAUSE 5000000U

struct gw_host_link *gw_link_find(struct gw_host *host, unsigned handle) {
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    if (gw_is_open(&host->links[i]) && host->links[i].handle == handle) return &host->links[i];
  }
  return NULL;
}

static struct gw_host_link *free_link(struct gw_host *host) {
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    if (!gw_is_open(&host->links[i])) return &host->links[i];
  }
  return NULL;
}

void gw_link_take_parameters(struct gw_host_link *link, const uint8_t *parameters) {
  link->interval = gw_u16(parameters);
  link->latency = gw_u16(parameters + 2);
  link->timeout = gw_u16(parameters + 4);
}

/* What the contract wants that a new connection has not. A PHY or length that the controller does not know is not asked
   for. */
static unsigned first_tasks(const struct gw_host *host) {
  struct gw_radio radio;
  gw_table_radio(host->table, &radio);
  unsigned tasks = GW_LINK_OPEN | GW_TASK_PARAMETERS;
  if ((radio.phy & host->controller.phys) != 0) tasks |= GW_TASK_PHY;
  if (radio.data_length > GW_LOWEST_ACL_LENGTH && (host->controller.flags & GW_FEATURE_DATA_LENGTH) != 0) {
    tasks |= GW_TASK_DATA_LENGTH;
  }
  return tasks;
}

void gw_link_open(struct gw_host *host, uint16_t handle, const struct gw_peer *peer, const uint8_t *parameters) {
  /* A handle that is used again belongs to a connection the end of which was missed. */
  struct gw_host_link *link = gw_link_find(host, handle);
  if (link != NULL) gw_link_close(host, link, GW_LOST);
  link = free_link(host);
  /* The controller stops advertising by itself, Core Vol 4 Part E 7.8.9. */
  host->advertising = GW_ADVERTISING_OFF;
  if (link == NULL) {
    host->stray = handle;
    return;
  }
  link->handle = handle;
  link->tasks = (uint16_t)first_tasks(host);
  link->since = gw_host_now(host);
  link->at_controller = 0;
  gw_link_take_parameters(link, parameters);
  gw_att_open(host->board, gw_host_number(host, link), peer);
}

static void forget(struct gw_frame *frame) {
  frame->length = 0;
  frame->sent = 0;
}

void gw_link_close(struct gw_host *host, struct gw_host_link *link, enum gw_end end) {
  uint8_t number = gw_host_number(host, link);
  /* What the controller still holds for it is gone and its room is free, Core Vol 4 Part E 4.1.1. */
  gw_acl_completed(host, link, link->at_controller);
  forget(&link->response);
  forget(&link->side);
  if (host->news_link == number) forget(&host->news);
  if (host->advertising == GW_ADVERTISING_REFUSED) host->advertising = GW_ADVERTISING_OFF;
  link->tasks = 0;
  if (host->security != NULL) host->security->closed(host->security->user, number);
  gw_att_close(host->board, number, end);
}

static bool fits(const struct gw_host_link *link, const struct gw_radio *radio) {
  return link->interval >= radio->interval_min && link->interval <= radio->interval_max &&
         link->latency == radio->latency && link->timeout == radio->timeout;
}

uint32_t gw_link_improve(struct gw_host *host) {
  uint32_t next = UINT32_MAX;
  struct gw_radio radio;
  gw_table_radio(host->table, &radio);
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) {
    struct gw_host_link *link = &host->links[i];
    if (!gw_is_open(link) || !gw_has_task(link, GW_TASK_PARAMETERS)) continue;
    uint32_t passed = gw_host_now(host) - link->since;
    if (passed < PAUSE) {
      if (PAUSE - passed < next) next = PAUSE - passed;
    } else if (fits(link, &radio) || gw_signalling_ask(link, &radio)) {
      /* Asked once: a central that gives other parameters has its reasons. */
      gw_clear_task(link, GW_TASK_PARAMETERS);
    }
  }
  return next;
}
