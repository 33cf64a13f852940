/* The board's console (docs/console.md): a person types commands, a program reads what the board tells. It runs in the
   main loop only, never waits but for `print`, and needs a table that was packed with its words. */
#ifndef GW_CONSOLE_H
#define GW_CONSOLE_H

#include "gw_board.h"
#include "gw_out.h"

#ifdef __cplusplus
extern "C" {
#endif

struct gw_console_port {
  void *user;
  gw_print print;
  /** Whether so many octets, a whole line, can be printed now without waiting; also true for a line longer than can ever
      be, so that it is printed at some time. Null: always true. Until it is true, lines wait where they come from: what
      the board tells in its ring of events, which drops and counts what finds no room. */
  bool (*ready)(void *user, uint32_t octets);
};

/** What is printed in answer to a command, line by line. For the console's own use. */
struct gw_answer {
  const char *message; /* of an error */
  uint32_t number;
  uint8_t verb;   /* enum gw_verb of gw_command.h */
  uint8_t reason; /* enum gw_reason */
  bool on;        /* an answer is under way */
  uint16_t item;  /* its next data line */
  uint16_t columns;
  uint16_t rows;
  uint16_t page;
  uint16_t word; /* place in the line of what the error is about */
  uint16_t word_length;
};

/** A console at work; the caller owns it and looks at nothing in it. */
struct gw_console {
  struct gw_board *board;
  struct gw_console_port port;
  uint8_t *line;
  uint16_t room;
  uint16_t length;
  bool too_long;
  bool typed; /* the line is whole and waits to be carried out */
  bool after_cr;
  bool telling;
  bool has_event;
  struct gw_event event;
  struct gw_answer answer;
};

/** Octets of memory that the console of this table needs: the longest line that may be typed. */
size_t gw_console_memory(const uint8_t *table);

/** @param memory gw_console_memory() octets
    @return false when the memory is too small */
bool gw_console_init(struct gw_console *console, struct gw_board *board, uint8_t *memory, size_t memory_size,
                     const struct gw_console_port *port);

/** Takes what was typed and carries out whole lines.
    @return how many of the octets it took; the rest is to be offered again after gw_console_poll, when a long answer has
    left */
size_t gw_console_receive(struct gw_console *console, const uint8_t *octets, size_t length);

/** Prints what the board tells, and the rest of answers. Call it after gw_board_poll. */
void gw_console_poll(struct gw_console *console);

/** Whether lines wait until `ready` says yes: the main loop must then not sleep until something else happens. */
bool gw_console_waits(const struct gw_console *console);

#ifdef __cplusplus
}
#endif
#endif
