#include "gw_console_line.h"

#include "gw_show.h"

static void put_id(const uint8_t *table, uint16_t index, struct gw_out *out) {
  struct gw_span id = gw_table_id(table, index);
  gw_out_character(out, ' ');
  gw_out_utf8(out, id.octets, id.length);
}

static void put_number(uint32_t number, struct gw_out *out) {
  gw_out_character(out, ' ');
  gw_out_decimal(out, number);
}

static void put_word(const char *word, struct gw_out *out) {
  gw_out_character(out, ' ');
  gw_out_ascii(out, word);
}

/** The address, most significant octet first: `C0:11:22:33:44:55`. */
static void put_peer(const struct gw_peer *peer, struct gw_out *out) {
  static const char digits[] = "0123456789ABCDEF";
  uint8_t i;
  for (i = 6; i > 0; i--) {
    gw_out_character(out, i == 6 ? ' ' : ':');
    gw_out_character(out, (uint8_t)digits[peer->address[i - 1] >> 4]);
    gw_out_character(out, (uint8_t)digits[peer->address[i - 1] & 15u]);
  }
}

static const char *security_word(uint8_t security) {
  static const char *const words[] = {"open", "encrypted", "authenticated", "secure-connections"};
  return words[security & 3u];
}

static const char *mode_word(uint8_t bits) {
  static const char *const words[] = {"off", "notify", "indicate", "both"};
  return words[bits & 3u];
}

static void put_tell(const uint8_t *table, const struct gw_event *event, struct gw_out *out) {
  static const char *const causes[] = {"start", "rig", "air", "console", "failsafe"};
  gw_out_ascii(out, "tell");
  put_number(event->ms, out);
  put_id(table, event->index, out);
  gw_out_character(out, ' ');
  gw_out_hex(out, event->value, event->length);
  put_word(causes[event->cause], out);
}

static void put_refused(const uint8_t *table, const struct gw_event *event, struct gw_out *out) {
  put_word("refused", out);
  put_number(event->client, out);
  put_id(table, event->index, out);
  put_word(event->kind == GW_EVENT_REFUSED_READ ? "read " : "write ", out);
  gw_out_hex(out, &event->detail, 1);
}

static void put_note(const uint8_t *table, const struct gw_event *event, struct gw_out *out) {
  switch (event->kind) {
    case GW_EVENT_START:
      put_word("start ", out);
      gw_line_specification(table, out);
      break;
    case GW_EVENT_ADVERTISING:
      put_word(event->detail != 0 ? "advertising on" : "advertising off", out);
      break;
    case GW_EVENT_CONNECTED:
      put_word("connected", out);
      put_number(event->client, out);
      put_peer(&event->peer, out);
      break;
    case GW_EVENT_DISCONNECTED:
      put_word("disconnected", out);
      put_number(event->client, out);
      put_word(event->detail == GW_LOST ? "lost" : "terminated", out);
      break;
    case GW_EVENT_SECURED:
      put_word("secured", out);
      put_number(event->client, out);
      put_word(security_word(event->detail), out);
      break;
    case GW_EVENT_SUBSCRIBED:
      put_word("subscribed", out);
      put_number(event->client, out);
      put_id(table, event->index, out);
      put_word(mode_word(event->detail), out);
      break;
    case GW_EVENT_REFUSED_READ:
    case GW_EVENT_REFUSED_WRITE:
      put_refused(table, event, out);
      break;
    case GW_EVENT_ARMED:
      put_word("armed", out);
      put_id(table, event->index, out);
      put_number(event->number, out);
      break;
    case GW_EVENT_DISARMED:
      put_word("disarmed", out);
      put_id(table, event->index, out);
      break;
    case GW_EVENT_LOST:
      put_word("lost", out);
      put_number(event->number, out);
      break;
    case GW_EVENT_TELL:
      break;
  }
}

void gw_line_event(const uint8_t *table, const struct gw_event *event, struct gw_out *out) {
  if (event->kind == GW_EVENT_TELL) {
    put_tell(table, event, out);
    return;
  }
  gw_out_ascii(out, "note");
  put_number(event->ms, out);
  put_note(table, event, out);
}

void gw_line_value(struct gw_board *board, uint16_t index, uint8_t *scratch, uint16_t room, struct gw_out *out) {
  uint16_t length = gw_board_copy(board, index, scratch, room);
  if (length > room) length = room;
  gw_out_ascii(out, "value");
  put_number(gw_board_ms(board), out);
  put_id(board->table, index, out);
  gw_out_character(out, ' ');
  gw_out_hex(out, scratch, length);
  if (!gw_show_has(board->table, index, scratch, length)) return;
  gw_out_character(out, ' ');
  out->escape = GW_TEXT;
  gw_show(board->table, index, scratch, length, false, out);
}

void gw_line_client(const struct gw_board *board, gw_connection connection, const struct gw_client *client,
                    struct gw_out *out) {
  uint16_t values = gw_table_values(board->table);
  uint16_t index;
  bool any = false;
  gw_out_ascii(out, "client");
  put_number(client->number, out);
  put_peer(&client->peer, out);
  put_number(client->since, out);
  put_number(client->mtu, out);
  put_word(security_word((uint8_t)client->security), out);
  for (index = 0; index < values; index++) {
    uint8_t bits = gw_board_subscription(board, connection, index);
    struct gw_span id = gw_table_id(board->table, index);
    if (bits == 0) continue;
    gw_out_character(out, any ? ',' : ' ');
    gw_out_utf8(out, id.octets, id.length);
    gw_out_character(out, ':');
    gw_out_ascii(out, mode_word(bits));
    any = true;
  }
  if (!any) gw_out_ascii(out, " -");
}

void gw_line_specification(const uint8_t *table, struct gw_out *out) {
  struct gw_span hash = gw_table_hash(table);
  uint16_t i;
  for (i = hash.length; i > 0; i--) gw_out_hex(out, &hash.octets[i - 1], 1);
}

void gw_line_hash(const uint8_t *table, struct gw_out *out) {
  struct gw_span hash = gw_table_hash(table);
  gw_out_ascii(out, "hash ");
  gw_line_specification(table, out);
  gw_out_character(out, ' ');
  gw_out_hex(out, hash.octets, hash.length);
}
