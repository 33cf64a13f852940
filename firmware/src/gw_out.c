#include "gw_out.h"

void gw_out_init(struct gw_out *out, gw_print print, void *user) {
  out->print = print;
  out->user = user;
  out->octets = 0;
  out->escape = GW_PLAIN;
  out->printable = false;
  out->width = 0;
  out->used = 0;
  out->held = 0;
  out->buffered = 0;
}

void gw_out_flush(struct gw_out *out) {
  if (out->buffered > 0 && out->print != NULL) out->print(out->user, out->buffer, out->buffered);
  out->buffered = 0;
}

static void put_octet(struct gw_out *out, uint32_t octet) {
  out->octets += 1;
  if (out->print == NULL) return;
  if (out->buffered == sizeof out->buffer) gw_out_flush(out);
  out->buffer[out->buffered] = (uint8_t)octet;
  out->buffered = (uint8_t)(out->buffered + 1);
}

/** RFC 3629 section 3. */
static void put_utf8(struct gw_out *out, uint32_t character) {
  if (character < 0x80) {
    put_octet(out, character);
    return;
  }
  if (character < 0x800) {
    put_octet(out, 0xC0u | character >> 6);
  } else {
    if (character < 0x10000) {
      put_octet(out, 0xE0u | character >> 12);
    } else {
      put_octet(out, 0xF0u | character >> 18);
      put_octet(out, 0x80u | (character >> 12 & 0x3Fu));
    }
    put_octet(out, 0x80u | (character >> 6 & 0x3Fu));
  }
  put_octet(out, 0x80u | (character & 0x3Fu));
}

static bool is_control(uint32_t character) {
  return character < 0x20 || (character >= 0x7F && character <= 0x9F) || character == 0x2028 || character == 0x2029;
}

/** Characters that stand for a gap between words (Unicode White_Space, and U+FEFF). */
static bool is_blank(uint32_t character) {
  if (character < 0xA0) return character == 0x20;
  return character == 0xA0 || character == 0x1680 || (character >= 0x2000 && character <= 0x200A) ||
         character == 0x202F || character == 0x205F || character == 0x3000 || character == 0xFEFF;
}

static uint32_t hex_digit(uint32_t value) { return value + (value < 10 ? '0' : 'a' - 10); }

static void put_escape(struct gw_out *out, uint32_t character) {
  put_octet(out, '\\');
  if (character == '\\') {
    put_octet(out, '\\');
  } else if (character == '\n') {
    put_octet(out, 'n');
  } else if (character == '\r') {
    put_octet(out, 'r');
  } else if (character == '\t') {
    put_octet(out, 't');
  } else {
    put_octet(out, character > 0xFF ? 'u' : 'x');
    if (character > 0xFF) {
      put_octet(out, hex_digit(character >> 12 & 15u));
      put_octet(out, hex_digit(character >> 8 & 15u));
    }
    put_octet(out, hex_digit(character >> 4 & 15u));
    put_octet(out, hex_digit(character & 15u));
  }
}

static void put_escaped(struct gw_out *out, uint32_t character) {
  bool special = out->escape >= GW_TEXT && (character == '\\' || is_control(character));
  if (special || (out->escape == GW_WORD && is_blank(character))) {
    put_escape(out, character);
  } else {
    put_utf8(out, character);
  }
}

/** What would spoil a display: control characters, line ends, changes of direction. */
static uint32_t printable(uint32_t character) {
  bool spoils = is_control(character) || (character >= 0x202A && character <= 0x202E) ||
                (character >= 0x2066 && character <= 0x2069);
  return spoils ? 0xB7u : character;
}

void gw_out_character(struct gw_out *out, uint32_t character) {
  if (out->printable) character = printable(character);
  if (out->width == 0) {
    put_escaped(out, character);
    return;
  }
  if (out->used + 1u < out->width) {
    put_escaped(out, character);
  } else if (out->used + 1u == out->width) {
    out->held = character;
  }
  if (out->used <= out->width) out->used = (uint16_t)(out->used + 1);
}

void gw_out_column(struct gw_out *out, uint16_t width) {
  out->width = width;
  out->used = 0;
}

void gw_out_fill(struct gw_out *out) {
  uint16_t width = out->width;
  uint16_t used = out->used;
  out->width = 0;
  if (width == 0) return;
  if (used > width) {
    put_escaped(out, '~');
  } else if (used == width) {
    put_escaped(out, out->held);
  }
  for (; used < width; used++) put_escaped(out, ' ');
}

void gw_out_ascii(struct gw_out *out, const char *text) {
  for (; *text != '\0'; text++) gw_out_character(out, (uint8_t)*text);
}

void gw_out_utf8(struct gw_out *out, const uint8_t *octets, size_t length) {
  size_t at = 0;
  while (at < length) {
    uint8_t first = octets[at++];
    uint8_t more = first < 0x80 ? 0 : first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : 1;
    uint32_t character = more == 0 ? first : first & (0x3Fu >> more);
    bool broken = (first >= 0x80 && first < 0xC2) || first > 0xF4;
    for (; more > 0 && !broken; more--) {
      if (at == length || (octets[at] & 0xC0u) != 0x80u) {
        broken = true;
      } else {
        character = character << 6 | (octets[at++] & 0x3Fu);
      }
    }
    gw_out_character(out, broken ? 0xFFFDu : character);
  }
}

void gw_out_decimal(struct gw_out *out, uint32_t number) {
  char digits[11];
  uint8_t at = 10;
  digits[10] = '\0';
  do {
    at = (uint8_t)(at - 1);
    digits[at] = (char)('0' + (char)(number % 10));
    number /= 10;
  } while (number > 0);
  gw_out_ascii(out, digits + at);
}

void gw_out_hex(struct gw_out *out, const uint8_t *octets, size_t length) {
  size_t i;
  if (length == 0) gw_out_character(out, '-');
  for (i = 0; i < length; i++) {
    gw_out_character(out, hex_digit((uint32_t)octets[i] >> 4));
    gw_out_character(out, hex_digit(octets[i] & 15u));
  }
}
