/* Reads a typed line as a command (docs/console.md, Commands). */
#ifndef GW_COMMAND_H
#define GW_COMMAND_H

#include "gw_words.h"

enum gw_verb {
  GW_HELP,
  GW_LIST,
  GW_GET,
  GW_SET,
  GW_CLIENTS,
  GW_HASH,
  GW_TIME,
  GW_TELL,
  GW_SCREEN,
  GW_DROP,
  GW_NO_VERB
};

/** Why a command was refused; the words of `error` lines. */
enum gw_reason {
  GW_UNKNOWN_COMMAND,
  GW_UNKNOWN_ID,
  GW_MISSING_ARGUMENT,
  GW_EXTRA_ARGUMENT,
  GW_BAD_ARGUMENT,
  GW_NO_CLIENT,
  GW_LINE_TOO_LONG,
  GW_NOT_TEXT,
  GW_LENGTH,
  GW_ENCODING,
  GW_RANGE,
  GW_TYPE,
  GW_NO_REASON
};

struct gw_command {
  enum gw_verb verb;
  enum gw_reason reason; /* GW_NO_REASON: it can be carried out */
  const char *message;   /* for a reason */
  struct gw_words word;  /* the first word as typed; empty for an empty line */
  struct gw_words id;
  struct gw_words value; /* octets if `raw`, else the physical form, escapes resolved */
  bool raw;
  bool on;
  bool all;
  uint32_t client;
  uint16_t columns;
  uint16_t rows;
  uint16_t page;
};

/** Reads a line without its end. The value of `set` is left in place of its text.
    @return false for an empty line, which is not answered */
bool gw_command_read(struct gw_command *command, uint8_t *line, uint16_t length);

/** A line that cannot even be read as a command. */
void gw_command_unreadable(struct gw_command *command, const uint8_t *line, enum gw_reason reason);

/** How a command is typed, and what it does; null past the last. */
const char *gw_command_usage(uint16_t verb);
const char *gw_command_about(uint16_t verb);

/** The word of a reason. */
const char *gw_reason_word(enum gw_reason reason);

/** The first word of a command's usage. */
struct gw_words gw_command_word(uint16_t verb);

#endif
