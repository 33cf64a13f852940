#include "gw_screen.h"

#include "gw_show.h"

/** From this width on a value takes one row, below it two. */
#define WIDE 72u

/** `W 0.4s` */
#define ACCESS_WIDTH 6

/** Octets that fill the widest column of a value: 56 characters of 4 octets, and what is cut behind them. */
#define SHOWN_OCTETS 228u

struct cell {
  uint16_t index;
  uint16_t length;
  uint8_t octets[SHOWN_OCTETS];
};

struct pages {
  uint16_t lines; /* rows a value takes */
  uint16_t per_page;
  uint16_t pages;
  uint16_t page;
};

static struct pages pages_of(const struct gw_board *board, const struct gw_screen *screen) {
  struct pages pages;
  uint16_t values = gw_table_values(board->table);
  pages.lines = screen->columns >= WIDE ? 1 : 2;
  pages.per_page = (uint16_t)((screen->rows - 2) / pages.lines);
  if (pages.per_page == 0) pages.per_page = 1;
  pages.pages = (uint16_t)((values + pages.per_page - 1) / pages.per_page);
  if (pages.pages == 0) pages.pages = 1;
  pages.page = screen->page < 1 ? 1 : screen->page > pages.pages ? pages.pages : screen->page;
  return pages;
}

static void put_two(uint32_t number, struct gw_out *out) {
  gw_out_character(out, ':');
  if (number < 10) gw_out_character(out, '0');
  gw_out_decimal(out, number);
}

/** `0:01:12` */
static void put_clock(uint32_t seconds, struct gw_out *out) {
  gw_out_decimal(out, seconds / 3600);
  put_two(seconds / 60 % 60, out);
  put_two(seconds % 60, out);
}

static uint16_t digits_of(uint32_t number) {
  uint16_t digits = 1;
  for (; number >= 10; number /= 10) digits++;
  return digits;
}

static void put_heading(struct gw_board *board, uint16_t columns, struct gw_out *out) {
  struct gw_span name = gw_table_name(board->table);
  uint32_t seconds = gw_board_ms(board) / 1000;
  uint16_t clock = (uint16_t)(digits_of(seconds / 3600) + 6);
  gw_out_column(out, (uint16_t)(columns - clock - 1));
  gw_out_utf8(out, name.octets, name.length);
  gw_out_fill(out);
  gw_out_character(out, ' ');
  put_clock(seconds, out);
}

static void put_footing(const struct gw_board *board, const struct pages *pages, uint16_t columns,
                        struct gw_out *out) {
  uint16_t right = (uint16_t)(digits_of(pages->page) + digits_of(pages->pages) + 1);
  struct gw_client client;
  uint16_t clients = 0;
  gw_connection connection;
  for (connection = 0; connection < GW_CONNECTIONS; connection++) {
    if (gw_board_client(board, connection, &client)) clients++;
  }
  gw_out_column(out, (uint16_t)(columns - right - 1));
  if (clients == 0) {
    gw_out_ascii(out, "no client");
  } else {
    gw_out_decimal(out, clients);
    gw_out_ascii(out, clients == 1 ? " client" : " clients");
  }
  if (gw_board_advertises(board)) gw_out_ascii(out, ", advertising");
  gw_out_fill(out);
  gw_out_character(out, ' ');
  gw_out_decimal(out, pages->page);
  gw_out_character(out, '/');
  gw_out_decimal(out, pages->pages);
}

/** At most four characters: `0.4s`, `59s`, `12m`, `3h`, `9d`. */
static void put_age(uint32_t ms, struct gw_out *out) {
  uint32_t seconds = ms / 1000;
  if (seconds < 10) {
    gw_out_decimal(out, seconds);
    gw_out_character(out, '.');
    gw_out_decimal(out, ms / 100 % 10);
    gw_out_character(out, 's');
  } else if (seconds < 100) {
    gw_out_decimal(out, seconds);
    gw_out_character(out, 's');
  } else if (seconds < 6000) {
    gw_out_decimal(out, seconds / 60);
    gw_out_character(out, 'm');
  } else if (seconds < 360000) {
    gw_out_decimal(out, seconds / 3600);
    gw_out_character(out, 'h');
  } else {
    gw_out_decimal(out, seconds / 86400);
    gw_out_character(out, 'd');
  }
}

static void put_access(struct gw_board *board, uint16_t index, struct gw_out *out) {
  static const char letters[] = "-RWNI";
  uint32_t at;
  enum gw_access access = gw_board_last_access(board, index, &at);
  gw_out_column(out, ACCESS_WIDTH);
  gw_out_character(out, (uint8_t)letters[access]);
  if (access != GW_UNTOUCHED) {
    gw_out_character(out, ' ');
    put_age(gw_board_ms(board) - at, out);
  }
  gw_out_fill(out);
}

/** `N`, `I`, `B` or `-`: what anybody has subscribed to. */
static void put_subscribed(const struct gw_board *board, uint16_t index, struct gw_out *out) {
  static const char letters[] = "-NIB";
  uint8_t bits = 0;
  gw_connection connection;
  for (connection = 0; connection < GW_CONNECTIONS; connection++) {
    bits = (uint8_t)(bits | gw_board_subscription(board, connection, index));
  }
  gw_out_character(out, (uint8_t)letters[bits & 3u]);
}

static void read_cell(struct gw_board *board, uint16_t index, struct cell *cell) {
  cell->index = index;
  cell->length = gw_board_copy(board, index, cell->octets, SHOWN_OCTETS);
  if (cell->length > SHOWN_OCTETS) cell->length = SHOWN_OCTETS;
}

static void put_octets(const struct cell *cell, uint16_t width, struct gw_out *out) {
  gw_out_column(out, width);
  gw_out_hex(out, cell->octets, cell->length);
  gw_out_fill(out);
}

static void put_label(const struct gw_board *board, const struct cell *cell, uint16_t width, struct gw_out *out) {
  struct gw_span label = gw_table_label(board->table, cell->index);
  gw_out_column(out, width);
  gw_out_utf8(out, label.octets, label.length);
  gw_out_fill(out);
}

static void put_value(const struct gw_board *board, const struct cell *cell, uint16_t width, struct gw_out *out) {
  gw_out_column(out, width);
  gw_show(board->table, cell->index, cell->octets, cell->length, true, out);
  gw_out_fill(out);
}

/** Characters of the value as it is shown, up to `most`. */
static uint16_t value_width(const struct gw_board *board, const struct cell *cell, uint16_t most) {
  struct gw_out count;
  gw_out_init(&count, NULL, NULL);
  count.printable = true;
  gw_out_column(&count, most);
  gw_show(board->table, cell->index, cell->octets, cell->length, true, &count);
  return count.used < most ? count.used : most;
}

static void put_wide(struct gw_board *board, const struct cell *cell, uint16_t columns, struct gw_out *out) {
  uint16_t label = (uint16_t)(columns * 3u / 10u);
  uint16_t value = (uint16_t)(columns * 28u / 100u);
  put_label(board, cell, label, out);
  gw_out_character(out, ' ');
  put_value(board, cell, value, out);
  gw_out_character(out, ' ');
  put_subscribed(board, cell->index, out);
  gw_out_character(out, ' ');
  put_access(board, cell->index, out);
  gw_out_character(out, ' ');
  put_octets(cell, (uint16_t)(columns - label - value - ACCESS_WIDTH - 5), out);
}

static void put_narrow(struct gw_board *board, const struct cell *cell, uint16_t columns, bool first,
                       struct gw_out *out) {
  if (first) {
    uint16_t value = value_width(board, cell, (uint16_t)(columns / 2));
    put_label(board, cell, (uint16_t)(columns - value - 1), out);
    gw_out_character(out, ' ');
    put_value(board, cell, value, out);
    return;
  }
  gw_out_character(out, ' ');
  put_subscribed(board, cell->index, out);
  gw_out_character(out, ' ');
  put_access(board, cell->index, out);
  gw_out_character(out, ' ');
  put_octets(cell, (uint16_t)(columns - ACCESS_WIDTH - 5), out);
  gw_out_character(out, ' ');
}

static void put_blank(uint16_t columns, struct gw_out *out) {
  gw_out_column(out, columns);
  gw_out_fill(out);
}

void gw_screen_row(struct gw_board *board, const struct gw_screen *screen, uint16_t row, struct gw_out *out) {
  struct pages pages = pages_of(board, screen);
  out->printable = true;
  if (row == 0) {
    put_heading(board, screen->columns, out);
  } else if (row + 1 == screen->rows) {
    put_footing(board, &pages, screen->columns, out);
  } else {
    uint16_t nth = (uint16_t)((row - 1) / pages.lines);
    uint32_t index = (uint32_t)(pages.page - 1) * pages.per_page + nth;
    if (nth >= pages.per_page || index >= gw_table_values(board->table)) {
      put_blank(screen->columns, out);
    } else {
      struct cell cell;
      read_cell(board, (uint16_t)index, &cell);
      if (pages.lines == 1) {
        put_wide(board, &cell, screen->columns, out);
      } else {
        put_narrow(board, &cell, screen->columns, (row - 1) % 2 == 0, out);
      }
    }
  }
  out->printable = false;
}
