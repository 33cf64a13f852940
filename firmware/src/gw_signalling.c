/* The signalling channel of an LE link (Core Vol 3 Part A 4) and, for want of a Security Manager, its refusal (Part
   H). */
#include "gw_host_core.h"

enum { COMMAND_REJECT = 0x01, UPDATE_REQUEST = 0x12 };
enum { NOT_UNDERSTOOD = 0, MTU_EXCEEDED = 1 };

/** Octets that every LE device takes on this channel. */
enum { SIGNALLING_MTU = 23 };

/** The pairing of a request with its response; there is never a second request. */
enum { IDENTIFIER = 1 };

static bool is_response(uint8_t code) {
  /* Odd codes, but for those that table 4.2 numbers otherwise; and 0x16, a credit, asks for nothing. */
  static const uint8_t responses[] = {0x01, 0x03, 0x05, 0x07, 0x09, 0x0B, 0x13, 0x15, 0x16, 0x18, 0x1A};
  for (unsigned i = 0; i < sizeof responses; i++) {
    if (responses[i] == code) return true;
  }
  return false;
}

static void reject(struct gw_host_link *link, uint8_t identifier, uint16_t reason) {
  uint8_t packet[8] = {COMMAND_REJECT, identifier, 0, 0, 0, 0, SIGNALLING_MTU, 0};
  uint16_t data = reason == MTU_EXCEEDED ? 4 : 2;
  if (identifier == 0) return; /* nobody would know which it was */
  gw_put16(packet + 2, data);
  gw_put16(packet + 4, reason);
  gw_frame_put(&link->side, GW_CHANNEL_SIGNALLING, packet, (uint16_t)(4U + data));
}

void gw_signalling_take(struct gw_host_link *link, const uint8_t *payload, uint16_t length) {
  uint8_t identifier = length > 1 ? payload[1] : 0;
  if (length > SIGNALLING_MTU) {
    reject(link, identifier, MTU_EXCEEDED);
    return;
  }
  if (length < 4 || gw_u16(payload + 2) != length - 4 || is_response(payload[0])) return;
  /* A peripheral takes no requests: parameters are for the central to choose, channels of other kinds there are none.
     */
  reject(link, identifier, NOT_UNDERSTOOD);
}

bool gw_signalling_ask(struct gw_host_link *link, const struct gw_radio *radio) {
  uint8_t packet[12] = {UPDATE_REQUEST, IDENTIFIER, 8, 0};
  gw_put16(packet + 4, radio->interval_min);
  gw_put16(packet + 6, radio->interval_max);
  gw_put16(packet + 8, radio->latency);
  gw_put16(packet + 10, radio->timeout);
  return gw_frame_put(&link->side, GW_CHANNEL_SIGNALLING, packet, sizeof packet);
}

void gw_security_take(struct gw_host *host, struct gw_host_link *link, const uint8_t *pdu, uint16_t length) {
  enum { PAIRING_REQUEST = 0x01, PAIRING_FAILED = 0x05, SECURITY_REQUEST = 0x0B, PAIRING_NOT_SUPPORTED = 0x05 };
  static const uint8_t refusal[] = {PAIRING_FAILED, PAIRING_NOT_SUPPORTED};
  if (host->security != NULL) {
    host->security->receive(host->security->user, gw_host_number(host, link), pdu, length);
  } else if (length > 0 && (pdu[0] == PAIRING_REQUEST || pdu[0] == SECURITY_REQUEST)) {
    gw_frame_put(&link->side, GW_CHANNEL_SECURITY, refusal, sizeof refusal);
  }
}

bool gw_host_security_send(struct gw_host *host, gw_connection connection, const uint8_t *pdu, uint16_t length) {
  if (connection >= GW_CONNECTIONS || !gw_is_open(&host->links[connection]) || length > GW_SIDE_PDU) return false;
  if (!gw_frame_put(&host->links[connection].side, GW_CHANNEL_SECURITY, pdu, length)) return false;
  gw_acl_work(host);
  return true;
}
