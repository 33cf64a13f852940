#include "gw_console.h"

#include "gw_check.h"
#include "gw_command.h"
#include "gw_console_line.h"
#include "gw_screen.h"
#include "gw_typed.h"

/** A line may always have this many octets. */
#define SHORTEST_LINE 160u

/** `set `, blank and `=` around the id and the octets. */
#define SET_OCTETS 6u

static uint32_t longest_line(const uint8_t *table) {
  uint16_t values = gw_table_values(table);
  uint32_t longest = SHORTEST_LINE;
  uint16_t index;
  for (index = 0; index < values; index++) {
    uint32_t needed = SET_OCTETS + gw_table_id(table, index).length + 2u * gw_table_max_length(table, index);
    if (needed > longest) longest = needed;
  }
  return longest;
}

size_t gw_console_memory(const uint8_t *table) { return longest_line(table); }

bool gw_console_init(struct gw_console *console, struct gw_board *board, uint8_t *memory, size_t memory_size,
                     const struct gw_console_port *port) {
  uint32_t longest = longest_line(board->table);
  if (memory_size < longest) return false;
  console->board = board;
  console->port = *port;
  console->line = memory;
  console->room = (uint16_t)longest;
  console->length = 0;
  console->too_long = false;
  console->typed = false;
  console->after_cr = false;
  console->telling = true;
  console->has_event = false;
  console->answer.on = false;
  return true;
}

/* Answers. */

static uint16_t index_of(const struct gw_console *console, const struct gw_words *id) {
  const uint8_t *table = console->board->table;
  uint16_t values = gw_table_values(table);
  uint16_t index;
  for (index = 0; index < values; index++) {
    struct gw_span known = gw_table_id(table, index);
    if (gw_words_equal(id, known.octets, known.length, false)) return index;
  }
  return UINT16_MAX;
}

static bool client_at(const struct gw_console *console, uint32_t number, gw_connection *connection) {
  struct gw_client client;
  for (*connection = 0; *connection < GW_CONNECTIONS; *connection = (gw_connection)(*connection + 1)) {
    if (gw_board_client(console->board, *connection, &client) && client.number == number) return true;
  }
  return false;
}

static void fail(struct gw_answer *answer, enum gw_reason reason, const char *message) {
  answer->reason = (uint8_t)reason;
  answer->message = message;
}

static enum gw_reason reason_of(enum gw_status status) {
  if (status == GW_ERROR_LENGTH) return GW_LENGTH;
  if (status == GW_ERROR_ENCODING) return GW_ENCODING;
  return status == GW_OK ? GW_NO_REASON : GW_RANGE;
}

static void set(struct gw_console *console, const struct gw_command *command, uint16_t index) {
  const uint8_t *table = console->board->table;
  struct gw_answer *answer = &console->answer;
  struct gw_shown shown;
  uint8_t octets[8];
  const uint8_t *value = command->value.at;
  uint16_t length = command->value.length;
  gw_table_shown(table, index, &shown);
  if (!command->raw && shown.how != GW_SHOW_UTF8) {
    enum gw_typed typed;
    length = gw_table_max_length(table, index);
    typed = gw_typed_value(table, index, &command->value, octets, length);
    if (typed == GW_TYPED_TYPE) fail(answer, GW_TYPE, "no value of this type; get and list show what it looks like");
    if (typed == GW_TYPED_RANGE) fail(answer, GW_RANGE, "more than the octets of the value hold");
    if (typed == GW_TYPED_UNKNOWN) fail(answer, GW_BAD_ARGUMENT, "this board takes it as octets behind =");
    if (typed != GW_TYPED_OK) return;
    value = octets;
  }
  answer->number = length;
  answer->item = index;
  answer->reason = (uint8_t)reason_of(gw_board_set(console->board, index, value, length, GW_CONSOLE));
  answer->message =
      answer->reason == GW_RANGE ? "the contract allows no such value" : "the octets are no value of this type";
}

static void drop(struct gw_console *console, const struct gw_command *command) {
  struct gw_client client;
  gw_connection connection;
  if (!command->all) {
    console->answer.number = command->client;
    if (client_at(console, command->client, &connection)) {
      gw_board_disconnect(console->board, connection);
    } else {
      fail(&console->answer, GW_NO_CLIENT, "");
    }
    return;
  }
  for (connection = 0; connection < GW_CONNECTIONS; connection++) {
    if (gw_board_client(console->board, connection, &client)) gw_board_disconnect(console->board, connection);
  }
}

/** Begins the answer to a command: does it, and leaves its lines to be printed. */
static void carry_out(struct gw_console *console, const struct gw_command *command) {
  struct gw_answer *answer = &console->answer;
  bool has_id = command->verb == GW_GET || command->verb == GW_SET;
  const struct gw_words *about = has_id ? &command->id : &command->word;
  uint16_t index = 0;
  answer->on = true;
  answer->verb = (uint8_t)command->verb;
  answer->reason = (uint8_t)command->reason;
  answer->message = command->message;
  answer->item = 0;
  answer->columns = command->columns;
  answer->rows = command->rows;
  answer->page = command->page;
  answer->word = (uint16_t)(about->at - console->line);
  answer->word_length = about->length;
  if (command->reason != GW_NO_REASON) return;
  if (has_id) {
    index = index_of(console, &command->id);
    if (index == UINT16_MAX) {
      fail(answer, GW_UNKNOWN_ID, "type list for the values");
      return;
    }
  }
  if (command->verb == GW_GET) answer->item = index;
  if (command->verb == GW_SET) set(console, command, index);
  if (command->verb == GW_TELL) console->telling = command->on;
  if (command->verb == GW_DROP) drop(console, command);
}

/** Whether the answer has a data line to print, at `item`. */
static bool has_line(struct gw_console *console) {
  struct gw_answer *answer = &console->answer;
  struct gw_client client;
  if (answer->reason != GW_NO_REASON) return false;
  switch ((enum gw_verb)answer->verb) {
    case GW_HELP:
      return answer->item < GW_NO_VERB;
    case GW_LIST:
      return answer->item < gw_table_values(console->board->table);
    case GW_GET:
      return answer->item != UINT16_MAX;
    case GW_CLIENTS:
      while (answer->item < GW_CONNECTIONS &&
             !gw_board_client(console->board, (gw_connection)answer->item, &client)) {
        answer->item++;
      }
      return answer->item < GW_CONNECTIONS;
    case GW_HASH:
    case GW_TIME:
      return answer->item == 0;
    case GW_SCREEN:
      return answer->item < answer->rows;
    case GW_SET:
    case GW_TELL:
    case GW_DROP:
    case GW_NO_VERB:
      break;
  }
  return false;
}

static void put_help(uint16_t verb, struct gw_out *out) {
  gw_out_ascii(out, "help ");
  gw_out_column(out, 30);
  gw_out_ascii(out, gw_command_usage(verb));
  gw_out_fill(out);
  gw_out_ascii(out, gw_command_about(verb));
}

static void put_screen(struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  struct gw_screen screen;
  screen.columns = answer->columns;
  screen.rows = answer->rows;
  screen.page = answer->page;
  gw_out_ascii(out, "screen ");
  out->escape = GW_TEXT;
  gw_screen_row(console->board, &screen, answer->item, out);
}

static void put_data(struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  struct gw_board *board = console->board;
  struct gw_client client;
  switch ((enum gw_verb)answer->verb) {
    case GW_HELP:
      put_help(answer->item, out);
      break;
    case GW_LIST:
    case GW_GET:
      gw_line_value(board, answer->item, console->line, console->room, out);
      break;
    case GW_CLIENTS:
      if (gw_board_client(board, (gw_connection)answer->item, &client)) {
        gw_line_client(board, (gw_connection)answer->item, &client, out);
      }
      break;
    case GW_HASH:
      gw_line_hash(board->table, out);
      break;
    case GW_TIME:
      gw_out_ascii(out, "time ");
      gw_out_decimal(out, gw_board_ms(board));
      break;
    case GW_SCREEN:
      put_screen(console, out);
      break;
    case GW_SET:
    case GW_TELL:
    case GW_DROP:
    case GW_NO_VERB:
      break;
  }
}

/** The first word as typed, cut to 32 characters; `?` for a line that could not be read. */
static void put_verb(const struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  struct gw_words word = gw_command_word(answer->verb);
  uint16_t length = 0;
  uint8_t characters = 0;
  if (answer->reason == GW_LINE_TOO_LONG || answer->reason == GW_NOT_TEXT) {
    gw_out_character(out, '?');
    return;
  }
  if (word.at == NULL) {
    word.at = console->line + answer->word;
    word.length = answer->word_length;
  }
  for (; length < word.length; length++) {
    if ((word.at[length] & 0xC0u) == 0x80u) continue;
    if (characters == 32) break;
    characters++;
  }
  if (length == 1 && word.at[0] == '-') {
    gw_out_ascii(out, "\\x2d"); /* alone it would stand for an empty text */
    return;
  }
  out->escape = GW_WORD;
  gw_out_utf8(out, word.at, length);
}

/** `did you mean …?`, if something is near to what was typed. */
static bool put_suggestion(const struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  struct gw_nearest nearest;
  struct gw_words word;
  uint16_t i;
  word.at = console->line + answer->word;
  word.length = answer->word_length;
  gw_nearest_init(&nearest, &word);
  if (answer->reason == GW_UNKNOWN_COMMAND) {
    for (i = 0; i < GW_NO_VERB; i++) {
      struct gw_words known = gw_command_word(i);
      gw_nearest_offer(&nearest, known.at, known.length);
    }
  } else if (answer->reason == GW_UNKNOWN_ID) {
    for (i = 0; i < gw_table_values(console->board->table); i++) {
      struct gw_span id = gw_table_id(console->board->table, i);
      gw_nearest_offer(&nearest, id.octets, id.length);
    }
  }
  word = gw_nearest_best(&nearest);
  if (word.length == 0) return false;
  gw_out_ascii(out, "did you mean ");
  gw_out_utf8(out, word.at, word.length);
  gw_out_character(out, '?');
  return true;
}

static void put_count(uint32_t count, struct gw_out *out) {
  gw_out_decimal(out, count);
  gw_out_ascii(out, count == 1 ? " octet" : " octets");
}

/** `3 octets instead of 2`, `21 octets are outside 0 to 20 octets`. */
static void put_lengths(const struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  uint16_t least = gw_table_min_length(console->board->table, answer->item);
  uint16_t most = gw_table_max_length(console->board->table, answer->item);
  put_count(answer->number, out);
  if (least == most) {
    gw_out_ascii(out, " instead of ");
    gw_out_decimal(out, least);
    return;
  }
  gw_out_ascii(out, answer->number == 1 ? " is outside " : " are outside ");
  gw_out_decimal(out, least);
  gw_out_ascii(out, " to ");
  put_count(most, out);
}

static void put_message(const struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  switch ((enum gw_reason)answer->reason) {
    case GW_LINE_TOO_LONG:
      gw_out_ascii(out, "a line has at most ");
      gw_out_decimal(out, console->room);
      gw_out_ascii(out, " octets");
      break;
    case GW_NO_CLIENT:
      gw_out_ascii(out, "no client ");
      gw_out_decimal(out, answer->number);
      gw_out_ascii(out, " is connected");
      break;
    case GW_LENGTH:
      put_lengths(console, out);
      break;
    case GW_UNKNOWN_COMMAND:
    case GW_UNKNOWN_ID:
      if (put_suggestion(console, out)) break;
      gw_out_ascii(out, answer->message);
      break;
    case GW_MISSING_ARGUMENT:
    case GW_EXTRA_ARGUMENT:
    case GW_BAD_ARGUMENT:
    case GW_NOT_TEXT:
    case GW_ENCODING:
    case GW_RANGE:
    case GW_TYPE:
    case GW_NO_REASON:
      gw_out_ascii(out, answer->message);
      break;
  }
}

static void put_last(const struct gw_console *console, struct gw_out *out) {
  const struct gw_answer *answer = &console->answer;
  bool done = answer->reason == GW_NO_REASON;
  gw_out_ascii(out, done ? "done " : "error ");
  put_verb(console, out);
  out->escape = GW_PLAIN;
  if (done) return;
  gw_out_character(out, ' ');
  gw_out_ascii(out, gw_reason_word((enum gw_reason)answer->reason));
  gw_out_character(out, ' ');
  out->escape = GW_TEXT;
  put_message(console, out);
}

/* Printing. */

enum line { EVENT, DATA, LAST };

static void put_line(struct gw_console *console, enum line line, struct gw_out *out) {
  switch (line) {
    case EVENT:
      gw_line_event(console->board->table, &console->event, out);
      break;
    case DATA:
      put_data(console, out);
      break;
    case LAST:
      put_last(console, out);
      break;
  }
  out->escape = GW_PLAIN;
  gw_out_ascii(out, "\r\n");
}

/** Prints a line; false when there is no room for it now. */
static bool print(struct gw_console *console, enum line line) {
  struct gw_out out;
  if (console->port.ready != NULL) {
    gw_out_init(&out, NULL, NULL);
    put_line(console, line, &out);
    if (!console->port.ready(console->port.user, out.octets)) return false;
  }
  gw_out_init(&out, console->port.print, console->port.user);
  put_line(console, line, &out);
  gw_out_flush(&out);
  return true;
}

/** Prints what the board tells; false when there is no room now. */
static bool print_events(struct gw_console *console) {
  for (;;) {
    if (!console->has_event) console->has_event = gw_board_next_event(console->board, &console->event);
    if (!console->has_event) return true;
    if ((console->event.kind != GW_EVENT_TELL || console->telling) && !print(console, EVENT)) return false;
    console->has_event = false;
  }
}

/** Prints the rest of the answer under way; false when there is no room now. */
static bool print_answer(struct gw_console *console) {
  struct gw_answer *answer = &console->answer;
  while (answer->on) {
    bool data = has_line(console);
    if (!print(console, data ? DATA : LAST)) return false;
    answer->on = data;
    answer->item = answer->verb == GW_GET ? UINT16_MAX : (uint16_t)(answer->item + 1);
  }
  return true;
}

/* Lines typed. */

static void read_line(struct gw_console *console) {
  struct gw_command command;
  bool is_command = true;
  if (console->too_long) {
    gw_command_unreadable(&command, console->line, GW_LINE_TOO_LONG);
  } else if (!gw_is_utf8(console->line, console->length)) {
    gw_command_unreadable(&command, console->line, GW_NOT_TEXT);
  } else {
    is_command = gw_command_read(&command, console->line, console->length);
  }
  console->typed = false;
  console->too_long = false;
  console->length = 0;
  if (is_command) carry_out(console, &command);
}

static void take_back(struct gw_console *console) {
  while (console->length > 0) {
    console->length = (uint16_t)(console->length - 1);
    if ((console->line[console->length] & 0xC0u) != 0x80u) return;
  }
}

static void take(struct gw_console *console, uint8_t octet) {
  bool after_cr = console->after_cr;
  console->after_cr = octet == '\r';
  if (octet == '\n' && after_cr) return;
  if (octet == '\n' || octet == '\r') {
    console->typed = true;
  } else if (octet == 0x08 || octet == 0x7F) {
    take_back(console);
  } else if (console->length < console->room) {
    console->line[console->length] = octet;
    console->length = (uint16_t)(console->length + 1);
  } else {
    console->too_long = true;
  }
}

void gw_console_poll(struct gw_console *console) {
  for (;;) {
    if (!print_events(console)) return;
    if (console->typed && !console->answer.on) {
      read_line(console);
      if (!print_events(console)) return;
    }
    if (!print_answer(console) || !console->typed) return;
  }
}

size_t gw_console_receive(struct gw_console *console, const uint8_t *octets, size_t length) {
  size_t taken = 0;
  while (taken < length && !console->typed && !console->answer.on) {
    take(console, octets[taken]);
    taken += 1;
    if (console->typed) gw_console_poll(console);
  }
  return taken;
}

bool gw_console_waits(const struct gw_console *console) {
  return console->typed || console->answer.on || console->has_event;
}
