/* Connections: who is there, and what they are. */
#include "gw_core.h"
#include "gw_memory.h"

static struct gw_link *link_of(struct gw_board *board, gw_connection connection) {
  if (connection >= GW_CONNECTIONS || board->links[connection].client == 0) return NULL;
  return &board->links[connection];
}

static unsigned count(const struct gw_board *board) {
  unsigned open = 0;
  for (unsigned i = 0; i < GW_CONNECTIONS; i++) open += board->links[i].client != 0;
  return open;
}

bool gw_board_advertises(const struct gw_board *board) { return count(board) < GW_CONNECTIONS; }

/* In step with what the console said last: it changes when the last place is taken or given free. */
static void note_advertising(struct gw_board *board, bool on) {
  gw_event_note(board, GW_EVENT_ADVERTISING, on, 0, 0);
}

void gw_att_open(struct gw_board *board, gw_connection connection, const struct gw_peer *peer) {
  if (connection >= GW_CONNECTIONS || board->links[connection].client != 0) return;
  gw_clock(board);
  struct gw_link *link = &board->links[connection];
  memset(link, 0, sizeof *link);
  link->client = ++board->clients;
  link->since = board->ms;
  link->peer = *peer;
  link->mtu = GW_DEFAULT_MTU;
  struct gw_note note = {GW_EVENT_CONNECTED, 0, 0, link->client, (const uint8_t *)&link->peer, sizeof link->peer};
  gw_event_put(board, &note);
  if (count(board) == GW_CONNECTIONS) note_advertising(board, false);
}

void gw_att_close(struct gw_board *board, gw_connection connection, enum gw_end end) {
  struct gw_link *link = link_of(board, connection);
  if (link == NULL) return;
  gw_clock(board);
  gw_indicate_expire(board);
  bool full = count(board) == GW_CONNECTIONS;
  gw_event_note(board, GW_EVENT_DISCONNECTED, (uint8_t)end, 0, link->client);
  gw_unsubscribe_all(board, link);
  memset(link, 0, sizeof *link);
  gw_refresh_publications(board);
  if (count(board) == 0) gw_failsafe_arm(board);
  if (full) note_advertising(board, true);
}

void gw_att_secure(struct gw_board *board, gw_connection connection, enum gw_security security, uint8_t key_size) {
  struct gw_link *link = link_of(board, connection);
  if (link == NULL) return;
  gw_clock(board);
  gw_indicate_expire(board);
  link->security = (uint8_t)security;
  link->key_size = key_size;
  gw_indicate_next(board, link);
  gw_event_note(board, GW_EVENT_SECURED, link->security, 0, link->client);
}

uint8_t gw_security_refusal(const struct gw_link *link, unsigned need) {
  enum { OPEN = 1, SECURE_CONNECTIONS = 4, NO_AUTHENTICATION = 0x05, SHORT_KEY = 0x0C, WHOLE_KEY = 16 };
  if (need <= OPEN) return 0;
  if (link->security + 1U < need) return NO_AUTHENTICATION;
  return need == SECURE_CONNECTIONS && link->key_size < WHOLE_KEY ? SHORT_KEY : 0;
}

bool gw_board_client(const struct gw_board *board, gw_connection connection, struct gw_client *client) {
  if (connection >= GW_CONNECTIONS || board->links[connection].client == 0) return false;
  const struct gw_link *link = &board->links[connection];
  client->number = link->client;
  client->since = link->since;
  client->peer = link->peer;
  client->security = (enum gw_security)link->security;
  client->mtu = link->mtu;
  return true;
}

uint8_t gw_board_subscription(const struct gw_board *board, gw_connection connection, uint16_t index) {
  if (connection >= GW_CONNECTIONS || !gw_is_value(board, index)) return 0;
  uint16_t cccd = gw_definition_cccd(gw_definition(board->table, index));
  return cccd == GW_NONE16 ? 0 : gw_subscription(board, &board->links[connection], cccd);
}

enum gw_access gw_board_last_access(const struct gw_board *board, uint16_t index, uint32_t *ms) {
  if (!gw_is_value(board, index)) return GW_UNTOUCHED;
  *ms = board->touched_at[index];
  return (enum gw_access)board->touched[index];
}

void gw_board_disconnect(struct gw_board *board, gw_connection connection) {
  if (link_of(board, connection) != NULL) board->port.disconnect(board->port.user, connection);
}
