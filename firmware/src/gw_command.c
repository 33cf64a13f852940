#include "gw_command.h"

static const char *const usages[][2] = {
    {"help", "these lines"},
    {"list", "every value of the board"},
    {"get ID", "one value"},
    {"set ID VALUE", "change a value: in its unit, by name, as text, or =HEX for octets"},
    {"clients", "who is connected, and to what subscribed"},
    {"hash", "the database hash: as the specification prints it, and as it is sent"},
    {"time", "the board's clock in milliseconds"},
    {"tell on|off", "whether changes are told as they happen"},
    {"screen [COLUMNSxROWS [PAGE]]", "the whole server as a text screen, 80x24 unless said"},
    {"drop CLIENT|all", "end a connection from the board"},
};

const char *gw_command_usage(uint16_t verb) { return verb < GW_NO_VERB ? usages[verb][0] : NULL; }

const char *gw_command_about(uint16_t verb) { return verb < GW_NO_VERB ? usages[verb][1] : NULL; }

/* The octets of a constant text are plain char; they are only read as octets. */
struct gw_words gw_command_word(uint16_t verb) {
  struct gw_words word;
  const char *usage = gw_command_usage(verb);
  word.at = (const uint8_t *)usage;
  word.length = 0;
  if (usage == NULL) return word;
  while (usage[word.length] != '\0' && usage[word.length] != ' ') word.length++;
  return word;
}

const char *gw_reason_word(enum gw_reason reason) {
  static const char *const words[] = {"unknown-command", "unknown-id",    "missing-argument", "extra-argument",
                                      "bad-argument",    "no-client",     "line-too-long",    "not-text",
                                      "length",          "encoding",      "range",            "type"};
  return reason < GW_NO_REASON ? words[reason] : "";
}

static void refuse(struct gw_command *command, enum gw_reason reason, const char *message) {
  command->reason = reason;
  command->message = message;
}

static void read_plain(struct gw_command *command, struct gw_words rest) {
  static const char *const messages[] = {"help takes nothing behind it",    "list takes nothing behind it", "", "",
                                         "clients takes nothing behind it", "hash takes nothing behind it",
                                         "time takes nothing behind it"};
  if (gw_words_next(&rest).length > 0) refuse(command, GW_EXTRA_ARGUMENT, messages[command->verb]);
}

static void read_get(struct gw_command *command, struct gw_words rest) {
  command->id = gw_words_next(&rest);
  if (command->id.length == 0) {
    refuse(command, GW_MISSING_ARGUMENT, "get needs the id of a value");
  } else if (gw_words_next(&rest).length > 0) {
    refuse(command, GW_EXTRA_ARGUMENT, "get takes one id");
  }
}

/** @param line where the value may be written; `rest` lies in it */
static void read_set(struct gw_command *command, struct gw_words rest, uint8_t *line, uint16_t length) {
  uint8_t *into;
  int32_t count;
  command->id = gw_words_next(&rest);
  if (command->id.length == 0) {
    refuse(command, GW_MISSING_ARGUMENT, "set needs the id of a value and the value");
    return;
  }
  gw_words_skip(&rest, 1);
  if (rest.length == 0) {
    refuse(command, GW_MISSING_ARGUMENT, "set needs a value; = alone is the empty one");
    return;
  }
  into = line + (length - rest.length);
  command->raw = rest.at[0] == '=';
  if (command->raw) gw_words_skip(&rest, 1);
  count = command->raw ? gw_words_hex(&rest, into) : gw_words_unescape(&rest, into);
  if (count < 0) {
    refuse(command, GW_BAD_ARGUMENT,
           command->raw ? "behind = stand octets, two hex digits each"
                        : "a backslash begins \\\\, \\n, \\r, \\t, \\xHH or \\uHHHH");
    return;
  }
  command->value.at = into;
  command->value.length = (uint16_t)count;
}

static void read_tell(struct gw_command *command, struct gw_words rest) {
  struct gw_words state = gw_words_next(&rest);
  command->on = gw_words_are(&state, "on");
  if (state.length == 0) {
    refuse(command, GW_MISSING_ARGUMENT, "tell needs on or off");
  } else if (gw_words_next(&rest).length > 0) {
    refuse(command, GW_EXTRA_ARGUMENT, "tell takes one word");
  } else if (!command->on && !gw_words_are(&state, "off")) {
    refuse(command, GW_BAD_ARGUMENT, "tell takes on or off");
  }
}

static void read_screen(struct gw_command *command, struct gw_words rest) {
  struct gw_words size = gw_words_next(&rest);
  struct gw_words page = gw_words_next(&rest);
  bool given = size.length > 0;
  struct gw_words columns = gw_words_until(&size, 'x');
  uint32_t wide = 80;
  uint32_t high = 24;
  uint32_t number = 1;
  if (gw_words_next(&rest).length > 0) {
    refuse(command, GW_EXTRA_ARGUMENT, "screen takes a size and a page");
  } else if (given &&
             (!gw_words_decimal(&columns, 4, &wide) || !gw_words_decimal(&size, 4, &high))) {
    refuse(command, GW_BAD_ARGUMENT, "a size is COLUMNSxROWS: 40x30");
  } else if (wide < 20 || wide > 200 || high < 4 || high > 100) {
    refuse(command, GW_BAD_ARGUMENT, "a screen has 20 to 200 columns and 4 to 100 rows");
  } else if (page.length > 0 && (!gw_words_decimal(&page, 4, &number) || page.at[0] == '0')) {
    refuse(command, GW_BAD_ARGUMENT, "pages count from 1");
  }
  command->columns = (uint16_t)wide;
  command->rows = (uint16_t)high;
  command->page = (uint16_t)number;
}

static void read_drop(struct gw_command *command, struct gw_words rest) {
  struct gw_words client = gw_words_next(&rest);
  command->all = gw_words_are(&client, "all");
  if (client.length == 0) {
    refuse(command, GW_MISSING_ARGUMENT, "drop needs the number of a client, or all");
  } else if (gw_words_next(&rest).length > 0) {
    refuse(command, GW_EXTRA_ARGUMENT, "drop takes one client");
  } else if (!command->all && !gw_words_decimal(&client, 9, &command->client)) {
    refuse(command, GW_BAD_ARGUMENT, "drop takes the number of a client, or all");
  }
}

static void begin(struct gw_command *command, const struct gw_words *word) {
  command->verb = GW_NO_VERB;
  command->reason = GW_NO_REASON;
  command->message = "";
  command->word = *word;
  command->id = *word;
  command->value = *word;
  command->raw = false;
  command->on = false;
  command->all = false;
  command->client = 0;
  command->columns = 0;
  command->rows = 0;
  command->page = 0;
}

void gw_command_unreadable(struct gw_command *command, const uint8_t *line, enum gw_reason reason) {
  struct gw_words none;
  none.at = line;
  none.length = 0;
  begin(command, &none);
  refuse(command, reason, reason == GW_NOT_TEXT ? "a line is UTF-8 text" : "");
}

bool gw_command_read(struct gw_command *command, uint8_t *line, uint16_t length) {
  struct gw_words rest;
  struct gw_words first;
  uint16_t verb;
  rest.at = line;
  rest.length = length;
  first = gw_words_next(&rest);
  begin(command, &first);
  if (command->word.length == 0) return false;
  for (verb = 0; verb < GW_NO_VERB; verb++) {
    struct gw_words word = gw_command_word(verb);
    if (gw_words_equal(&command->word, word.at, word.length, false)) command->verb = (enum gw_verb)verb;
  }
  switch (command->verb) {
    case GW_HELP:
    case GW_LIST:
    case GW_CLIENTS:
    case GW_HASH:
    case GW_TIME:
      read_plain(command, rest);
      break;
    case GW_GET:
      read_get(command, rest);
      break;
    case GW_SET:
      read_set(command, rest, line, length);
      break;
    case GW_TELL:
      read_tell(command, rest);
      break;
    case GW_SCREEN:
      read_screen(command, rest);
      break;
    case GW_DROP:
      read_drop(command, rest);
      break;
    case GW_NO_VERB:
      refuse(command, GW_UNKNOWN_COMMAND, "type help for the commands");
      break;
  }
  return true;
}
