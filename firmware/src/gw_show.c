#include "gw_show.h"

/** magnitude / 10^places, or less than that by its sign. */
struct number {
  uint64_t magnitude;
  uint8_t places;
  bool negative;
};

/** Multiplies unless 64 bits do not hold it. */
static bool times(uint64_t *value, uint32_t factor) {
  uint64_t low = (*value & UINT32_MAX) * factor;
  uint64_t high = (*value >> 32) * factor + (low >> 32);
  if (high > UINT32_MAX) return false;
  *value = high << 32 | (low & UINT32_MAX);
  return true;
}

static bool times_power(uint64_t *value, uint32_t base, uint8_t exponent) {
  for (; exponent > 0; exponent--) {
    if (!times(value, base)) return false;
  }
  return true;
}

static uint64_t magnitude_of(const uint8_t *value, uint16_t length, bool is_signed, bool *negative) {
  uint64_t raw = 0;
  uint16_t i;
  *negative = is_signed && length > 0 && (value[length - 1] & 0x80u) != 0;
  for (i = 8; i > 0; i--) {
    uint8_t beyond = *negative ? 0xFFu : 0;
    raw = raw << 8 | (i > length ? beyond : value[i - 1]);
  }
  return *negative ? UINT64_C(0) - raw : raw;
}

/** The most digits that are shown of a number that is not whole; longer ones would have to be rounded. */
static bool has_many_digits(uint64_t magnitude) { return magnitude >= UINT64_C(1000000000000000); }

static bool number_of(const struct gw_shown *shown, const uint8_t *value, uint16_t length, struct number *number) {
  uint8_t halvings = shown->binary < 0 ? (uint8_t)-shown->binary : 0;
  uint8_t tenths = shown->decimal < 0 ? (uint8_t)-shown->decimal : 0;
  uint32_t multiplier = (uint32_t)(shown->multiplier < 0 ? -(int32_t)shown->multiplier : shown->multiplier);
  number->magnitude = magnitude_of(value, length, shown->how == GW_SHOW_SIGNED, &number->negative);
  if (shown->multiplier < 0) number->negative = !number->negative;
  if (halvings + tenths > 40) return false;
  number->places = (uint8_t)(halvings + tenths);
  /* A half is five tenths. */
  if (!times(&number->magnitude, multiplier) || !times_power(&number->magnitude, 5, halvings) ||
      !times_power(&number->magnitude, 2, shown->binary > 0 ? (uint8_t)shown->binary : 0) ||
      !times_power(&number->magnitude, 10, shown->decimal > 0 ? (uint8_t)shown->decimal : 0)) {
    return false;
  }
  while (number->places > 0 && number->magnitude % 10 == 0) {
    number->magnitude /= 10;
    number->places = (uint8_t)(number->places - 1);
  }
  return number->places == 0 || !has_many_digits(number->magnitude);
}

static void put_number(const struct number *number, struct gw_out *out) {
  char digits[62];
  uint64_t rest = number->magnitude;
  uint8_t at = sizeof digits - 1;
  uint8_t place = 0;
  digits[at] = '\0';
  do {
    if (place > 0 && place == number->places) {
      at = (uint8_t)(at - 1);
      digits[at] = '.';
    }
    at = (uint8_t)(at - 1);
    digits[at] = (char)('0' + (char)(rest % 10));
    rest /= 10;
    place = (uint8_t)(place + 1);
  } while (rest > 0 || place <= number->places);
  if (number->negative && number->magnitude > 0) gw_out_character(out, '-');
  gw_out_ascii(out, digits + at);
}

static uint32_t code_of(const uint8_t *value, uint16_t length) {
  bool negative;
  return (uint32_t)magnitude_of(value, length, false, &negative);
}

static void put_enum(const uint8_t *table, uint16_t index, uint32_t code, struct gw_out *out) {
  struct gw_span name;
  uint32_t named;
  uint16_t nth;
  for (nth = 0; gw_table_choice(table, index, nth, &named, &name); nth++) {
    if (named != code) continue;
    gw_out_utf8(out, name.octets, name.length);
    return;
  }
  gw_out_decimal(out, code);
  gw_out_ascii(out, " (no name)");
}

static bool is_none(const struct gw_span *name) {
  return name->length == 4 && name->octets[0] == 'n' && name->octets[1] == 'o' && name->octets[2] == 'n' &&
         name->octets[3] == 'e';
}

static void put_flags(const uint8_t *table, uint16_t index, uint32_t bits, struct gw_out *out) {
  struct gw_span name;
  uint32_t bit;
  uint16_t nth;
  bool any = false;
  bool none_is_a_flag = false;
  for (nth = 0; gw_table_choice(table, index, nth, &bit, &name); nth++) {
    if (is_none(&name)) none_is_a_flag = true;
    if (bit > 31 || (bits >> bit & 1u) == 0) continue;
    if (any) gw_out_ascii(out, ", ");
    gw_out_utf8(out, name.octets, name.length);
    bits &= ~(UINT32_C(1) << bit);
    any = true;
  }
  for (bit = 0; bit < 32; bit++) {
    if ((bits >> bit & 1u) == 0) continue;
    gw_out_ascii(out, any ? ", bit " : "bit ");
    gw_out_decimal(out, bit);
    any = true;
  }
  if (!any) gw_out_ascii(out, none_is_a_flag ? "0" : "none");
}

/** RFC 8259 section 7: what must be escaped in a string. The rest of the octets are put as they are. */
static void put_quoted(const uint8_t *value, uint16_t length, struct gw_out *out) {
  uint16_t start = 0;
  uint16_t i;
  gw_out_character(out, '"');
  for (i = 0; i < length; i++) {
    uint8_t octet = value[i];
    if (octet >= 0x20 && octet != '"' && octet != '\\') continue;
    gw_out_utf8(out, value + start, (size_t)(i - start));
    start = (uint16_t)(i + 1);
    gw_out_character(out, '\\');
    if (octet >= 0x20) {
      gw_out_character(out, octet);
    } else if (octet == '\n' || octet == '\r' || octet == '\t' || octet == '\b' || octet == '\f') {
      gw_out_character(out, octet == '\n' ? 'n' : octet == '\r' ? 'r' : octet == '\t' ? 't' : octet == '\b' ? 'b' : 'f');
    } else {
      gw_out_ascii(out, "u00");
      gw_out_hex(out, &octet, 1);
    }
  }
  gw_out_utf8(out, value + start, (size_t)(length - start));
  gw_out_character(out, '"');
}

/** The name of a code that stands for no quantity, such as `unknown`; false when it has none. */
static bool special_of(const uint8_t *table, uint16_t index, const struct gw_shown *shown, const uint8_t *value,
                       uint16_t length, struct gw_span *name) {
  bool negative;
  uint64_t magnitude = magnitude_of(value, length, shown->how == GW_SHOW_SIGNED, &negative);
  uint32_t code = negative ? UINT32_C(0) - (uint32_t)magnitude : (uint32_t)magnitude;
  uint32_t known;
  uint16_t nth;
  if (magnitude > UINT32_MAX) return false;
  for (nth = 0; gw_table_choice(table, index, nth, &known, name); nth++) {
    if (known == code) return true;
  }
  return false;
}

static void put_quantity(const uint8_t *table, uint16_t index, const struct gw_shown *shown, const uint8_t *value,
                         uint16_t length, struct gw_out *out) {
  struct gw_span name;
  struct number number;
  if (special_of(table, index, shown, value, length, &name)) {
    gw_out_utf8(out, name.octets, name.length);
  } else if (number_of(shown, value, length, &number)) {
    put_number(&number, out);
    if (shown->unit.length > 0) gw_out_character(out, ' ');
    gw_out_utf8(out, shown->unit.octets, shown->unit.length);
  } else {
    gw_out_hex(out, value, length);
  }
}

bool gw_show_has(const uint8_t *table, uint16_t index, const uint8_t *value, uint16_t length) {
  struct gw_shown shown;
  struct gw_span name;
  struct number number;
  gw_table_shown(table, index, &shown);
  if (shown.how == GW_SHOW_UNSIGNED || shown.how == GW_SHOW_SIGNED) {
    return number_of(&shown, value, length, &number) || special_of(table, index, &shown, value, length, &name);
  }
  return shown.how != GW_SHOW_HEX;
}

void gw_show(const uint8_t *table, uint16_t index, const uint8_t *value, uint16_t length, bool quotes,
             struct gw_out *out) {
  struct gw_shown shown;
  gw_table_shown(table, index, &shown);
  switch (shown.how) {
    case GW_SHOW_HEX:
      gw_out_hex(out, value, length);
      break;
    case GW_SHOW_BOOLEAN:
      gw_out_ascii(out, length > 0 && value[0] != 0 ? "true" : "false");
      break;
    case GW_SHOW_UNSIGNED:
    case GW_SHOW_SIGNED:
      put_quantity(table, index, &shown, value, length, out);
      break;
    case GW_SHOW_ENUM:
      put_enum(table, index, code_of(value, length), out);
      break;
    case GW_SHOW_FLAGS:
      put_flags(table, index, code_of(value, length), out);
      break;
    case GW_SHOW_UTF8:
      if (quotes) {
        put_quoted(value, length, out);
      } else {
        gw_out_utf8(out, value, length);
      }
      break;
  }
}
