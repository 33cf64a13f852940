/* Text on its way out, one Unicode character after the other: escaped, fitted into a column, or only counted. Nothing is
   stored but the last few octets. */
#ifndef GW_OUT_H
#define GW_OUT_H

#include "gw_types.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Takes UTF-8 octets; they are valid in the call only. */
typedef void (*gw_print)(void *user, const uint8_t *octets, size_t length);

/** What becomes of control characters, backslashes and blanks (docs/console.md, Escapes). */
enum gw_escape {
  GW_PLAIN,     /* nothing */
  GW_PRINTABLE, /* control and direction characters become a middle dot: for displays */
  GW_TEXT,      /* escapes of a `text` */
  GW_WORD       /* escapes of a `word` */
};

struct gw_out {
  gw_print print; /* null: only count */
  void *user;
  uint32_t octets; /* so far */
  uint8_t escape;  /* enum gw_escape: of what is put */
  bool printable;  /* what is put is first made fit for a display; set while a column is open */
  /* The column under way, if any. */
  uint16_t width; /* 0: none */
  uint16_t used;
  uint32_t held; /* the character that stands in the last place, unless more follow */
  uint8_t buffered;
  uint8_t buffer[32];
};

void gw_out_init(struct gw_out *out, gw_print print, void *user);

/** One Unicode character. */
void gw_out_character(struct gw_out *out, uint32_t character);

/** ASCII, to its NUL. */
void gw_out_ascii(struct gw_out *out, const char *text);

/** UTF-8; octets that are none become U+FFFD. */
void gw_out_utf8(struct gw_out *out, const uint8_t *octets, size_t length);

void gw_out_decimal(struct gw_out *out, uint32_t number);

/** Pairs of lower-case hex digits; `-` for none. */
void gw_out_hex(struct gw_out *out, const uint8_t *octets, size_t length);

/** From here on what is put fills exactly `width` characters: padded with blanks, or cut with `~` in the last place. */
void gw_out_column(struct gw_out *out, uint16_t width);

/** Ends the column. */
void gw_out_fill(struct gw_out *out);

/** Hands on what is still in the buffer. */
void gw_out_flush(struct gw_out *out);

#ifdef __cplusplus
}
#endif
#endif
