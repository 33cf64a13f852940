#include "gw_hci_bring_up.h"

#include "gw_host_core.h"
#include "gw_memory.h"

/* `when`. */
enum { ALWAYS, SHARED_BUFFERS, NO_ADDRESS };

/* `needed`: the controller is of no use when it refuses. Supported commands are not asked for: what the host does
   beyond these steps depends on LE features, and a command that is refused as unknown does no harm. */
static const struct step {
  uint16_t opcode;
  uint8_t when;
  bool needed;
} steps[] = {
    {GW_HCI_RESET, ALWAYS, true},
    {GW_HCI_READ_LOCAL_VERSION, ALWAYS, false},
    {GW_LE_READ_LOCAL_FEATURES, ALWAYS, false},
    {GW_LE_READ_BUFFER_SIZE, ALWAYS, true},
    {GW_HCI_READ_BUFFER_SIZE, SHARED_BUFFERS, true},
    {GW_HCI_SET_EVENT_MASK, ALWAYS, false},
    {GW_LE_SET_EVENT_MASK, ALWAYS, false},
    {GW_LE_RAND, NO_ADDRESS, true},
    {GW_LE_SET_RANDOM_ADDRESS, ALWAYS, true},
    {GW_LE_SET_ADVERTISING_PARAMETERS, ALWAYS, true},
    {GW_LE_SET_ADVERTISING_DATA, ALWAYS, true},
    {GW_LE_SET_SCAN_RESPONSE_DATA, ALWAYS, true},
};

enum { STEPS = sizeof steps / sizeof *steps };

/* Disconnection Complete, Encryption Change, Hardware Error; Encryption Key Refresh Complete; LE Meta. Part E 7.3.1. */
static const uint8_t event_mask[8] = {0x90, 0x80, 0x00, 0x00, 0x00, 0x80, 0x00, 0x20};

/* Connection Complete (plain: no privacy is used), Connection Update Complete, Long Term Key Request, Remote Connection
   Parameter Request. Part E 7.8.1. */
static const uint8_t le_event_mask[8] = {0x35};

uint16_t gw_bring_up_next(struct gw_host *host) {
  for (; host->step < STEPS; host->step++) {
    uint8_t when = steps[host->step].when;
    if (when == SHARED_BUFFERS && host->controller.acl_length != 0) continue;
    if (when == NO_ADDRESS && host->has_address) continue;
    return steps[host->step].opcode;
  }
  return 0;
}

/* A length, then always 31 octets. Part E 7.8.7. */
static uint8_t fill_data(uint8_t *parameters, struct gw_span data) {
  memset(parameters, 0, 32);
  parameters[0] = (uint8_t)data.length;
  if (data.length > 0) memcpy(parameters + 1, data.octets, data.length);
  return 32;
}

static uint8_t fill_advertising(const struct gw_host *host, uint8_t *parameters) {
  enum { LENGTH = 15, OWN_ADDRESS_TYPE = 5, RANDOM = 1, CHANNEL_MAP = 13, ALL_CHANNELS = 7 };
  struct gw_radio radio;
  gw_table_radio(host->table, &radio);
  memset(parameters, 0, LENGTH); /* connectable, undirected, anybody */
  gw_put16(parameters, radio.advertise_min);
  gw_put16(parameters + 2, radio.advertise_max);
  parameters[OWN_ADDRESS_TYPE] = RANDOM;
  parameters[CHANNEL_MAP] = ALL_CHANNELS;
  return LENGTH;
}

uint8_t gw_bring_up_fill(struct gw_host *host, uint8_t *parameters) {
  switch (steps[host->step].opcode) {
  case GW_HCI_SET_EVENT_MASK:
    memcpy(parameters, event_mask, sizeof event_mask);
    return sizeof event_mask;
  case GW_LE_SET_EVENT_MASK:
    memcpy(parameters, le_event_mask, sizeof le_event_mask);
    return sizeof le_event_mask;
  case GW_LE_SET_RANDOM_ADDRESS:
    memcpy(parameters, host->address, sizeof host->address);
    return sizeof host->address;
  case GW_LE_SET_ADVERTISING_PARAMETERS:
    return fill_advertising(host, parameters);
  case GW_LE_SET_ADVERTISING_DATA:
    return fill_data(parameters, gw_table_advertising(host->table));
  case GW_LE_SET_SCAN_RESPONSE_DATA:
    return fill_data(parameters, gw_table_scan_response(host->table));
  default:
    return 0;
  }
}

/* Length and number of the buffers; 0 of LE: it shares the others, which have no fewer than the standard's least
   octets. */
static bool take_buffers(struct gw_host *host, uint16_t length, uint16_t count, bool may_share) {
  host->controller.acl_length = length;
  host->controller.acl_count = count > UINT8_MAX ? UINT8_MAX : (uint8_t)count;
  if (may_share && (length == 0 || count == 0)) {
    host->controller.acl_length = 0;
    return true;
  }
  return length >= GW_LOWEST_ACL_LENGTH && count > 0;
}

static bool take_returns(struct gw_host *host, const uint8_t *returns, uint8_t length) {
  switch (steps[host->step].opcode) {
  case GW_HCI_READ_LOCAL_VERSION:
    if (length == 9) host->controller.version = returns[1];
    return true;
  case GW_LE_READ_LOCAL_FEATURES:
    if (length != 9) return true;
    host->controller.flags = returns[1];
    host->controller.phys = (uint8_t)(((returns[2] & GW_FEATURE_2M) != 0 ? 2U : 0U) |
                                      ((returns[2] & GW_FEATURE_CODED) != 0 ? 4U : 0U));
    return true;
  case GW_LE_READ_BUFFER_SIZE:
    return length == 4 && take_buffers(host, gw_u16(returns + 1), returns[3], true);
  case GW_HCI_READ_BUFFER_SIZE:
    return length == 8 && take_buffers(host, gw_u16(returns + 1), gw_u16(returns + 4), false);
  case GW_LE_RAND:
    if (length != 9) return false;
    gw_host_take_address(host, returns + 1);
    return true;
  default:
    return true;
  }
}

bool gw_bring_up_answered(struct gw_host *host, const uint8_t *returns, uint8_t length) {
  bool good = length > 0 && returns[0] == GW_HCI_SUCCESS ? take_returns(host, returns, length)
                                                         : !steps[host->step].needed;
  host->step++;
  return good;
}
