#include "gw_typed.h"

static enum gw_typed put_code(uint64_t code, bool negative, bool is_signed, uint8_t *value, uint16_t length) {
  uint64_t limit = length < 8 ? UINT64_C(1) << (8 * length) : 0; /* 0: 2^64 */
  uint16_t i;
  if (is_signed) {
    uint64_t half = length < 8 ? limit / 2 : UINT64_C(1) << 63;
    if (negative ? code > half : code >= half) return GW_TYPED_RANGE;
  } else if ((negative && code > 0) || (limit != 0 && code >= limit)) {
    return GW_TYPED_RANGE;
  }
  if (negative) code = UINT64_C(0) - code;
  for (i = 0; i < length && i < 8; i++) value[i] = (uint8_t)(code >> (8 * i) & 0xFFu);
  return GW_TYPED_OK;
}

/** magnitude * 10^exponent. */
struct decimal {
  uint64_t magnitude;
  int32_t exponent;
  bool negative;
};

/** Appends a digit; false when 64 bits do not hold it. */
static bool append(uint64_t *number, uint32_t base, uint8_t digit) {
  if (*number > (UINT64_MAX - digit) / base) return false;
  *number = *number * base + digit;
  return true;
}

static enum gw_typed read_hex(struct gw_words *text, struct decimal *number) {
  gw_words_skip(text, 2);
  while (text->length > 0 && gw_hex_digit(text->at[0]) < 16) {
    if (!append(&number->magnitude, 16, gw_hex_digit(text->at[0]))) return GW_TYPED_RANGE;
    gw_words_skip(text, 1);
  }
  return GW_TYPED_OK;
}

/** Takes `e`, a sign and digits if they are all there. */
static bool read_exponent(struct gw_words *text, struct decimal *number) {
  struct gw_words rest = *text;
  int32_t exponent = 0;
  bool negative = false;
  if (rest.length == 0 || gw_lower(rest.at[0]) != 'e') return true;
  gw_words_skip(&rest, 1);
  if (rest.length > 0 && (rest.at[0] == '-' || rest.at[0] == '+')) {
    negative = rest.at[0] == '-';
    gw_words_skip(&rest, 1);
  }
  if (rest.length == 0 || !gw_is_digit(rest.at[0])) return true;
  while (rest.length > 0 && gw_is_digit(rest.at[0])) {
    if (exponent > 400) return false;
    exponent = exponent * 10 + (rest.at[0] - '0');
    gw_words_skip(&rest, 1);
  }
  if (exponent > 400) return false;
  number->exponent += negative ? -exponent : exponent;
  *text = rest;
  return true;
}

/** Takes a number from the front of the text. Zeros at the end of a fraction cost no digits. */
static enum gw_typed read_number(struct gw_words *text, struct decimal *number) {
  uint16_t digits = 0;
  uint16_t zeros = 0;
  bool point = false;
  number->magnitude = 0;
  number->exponent = 0;
  number->negative = false;
  if (text->length > 0 && (text->at[0] == '-' || text->at[0] == '+')) {
    number->negative = text->at[0] == '-';
    gw_words_skip(text, 1);
  }
  if (text->length > 2 && text->at[0] == '0' && gw_lower(text->at[1]) == 'x' && gw_hex_digit(text->at[2]) < 16) {
    return read_hex(text, number);
  }
  for (; text->length > 0; gw_words_skip(text, 1)) {
    uint8_t octet = text->at[0];
    if (octet == '.' && !point) {
      if (digits == 0 && (text->length < 2 || !gw_is_digit(text->at[1]))) break;
      point = true;
      continue;
    }
    if (!gw_is_digit(octet)) break;
    digits = (uint16_t)(digits + 1);
    if (octet == '0') {
      zeros = (uint16_t)(zeros + 1);
    } else {
      for (; zeros > 0; zeros = (uint16_t)(zeros - 1)) {
        if (!append(&number->magnitude, 10, 0)) return GW_TYPED_UNKNOWN;
      }
      if (!append(&number->magnitude, 10, (uint8_t)(octet - '0'))) return GW_TYPED_UNKNOWN;
    }
    if (point) number->exponent -= 1;
  }
  if (digits == 0) return GW_TYPED_UNKNOWN;
  number->exponent += zeros;
  return read_exponent(text, number) ? GW_TYPED_OK : GW_TYPED_UNKNOWN;
}

/** Multiplies by base^exponent as long as 64 bits hold it. */
static bool raise(uint64_t *value, uint32_t base, int32_t exponent) {
  for (; exponent > 0; exponent--) {
    if (*value > UINT64_MAX / base) return false;
    *value *= base;
  }
  return true;
}

/** Divides without remainder, as often as it goes up to -exponent. */
static void cancel(uint64_t *value, uint32_t base, int32_t *exponent) {
  while (*exponent < 0 && *value % base == 0) {
    *value /= base;
    *exponent += 1;
  }
}

/** The nearest code, half to even: magnitude * 10^(exponent - decimal) / (multiplier * 2^binary). */
static enum gw_typed to_code(const struct gw_shown *shown, struct decimal *number, uint64_t *code) {
  uint64_t divisor = (uint64_t)(shown->multiplier < 0 ? -(int32_t)shown->multiplier : shown->multiplier);
  int32_t fives = number->exponent - shown->decimal;
  int32_t twos = fives - shown->binary;
  uint64_t rest;
  *code = 0;
  if (number->magnitude == 0 || divisor == 0) return GW_TYPED_OK;
  cancel(&number->magnitude, 5, &fives);
  cancel(&number->magnitude, 2, &twos);
  if (!raise(&divisor, 5, -fives) || !raise(&divisor, 2, -twos)) return GW_TYPED_UNKNOWN;
  if (!raise(&number->magnitude, 5, fives) || !raise(&number->magnitude, 2, twos)) return GW_TYPED_RANGE;
  *code = number->magnitude / divisor;
  rest = number->magnitude % divisor;
  if (rest > divisor - rest || (rest == divisor - rest && (*code & 1u) != 0)) *code += 1;
  return GW_TYPED_OK;
}

/** The code or bit of a name: as it is, else the only one that differs in case alone. */
static bool named(const uint8_t *table, uint16_t index, const struct gw_words *text, uint32_t *code) {
  struct gw_span name;
  uint32_t found;
  uint16_t nth;
  uint16_t alike = 0;
  for (nth = 0; gw_table_choice(table, index, nth, &found, &name); nth++) {
    if (gw_words_equal(text, name.octets, name.length, false)) {
      *code = found;
      return true;
    }
    if (gw_words_equal(text, name.octets, name.length, true)) {
      *code = found;
      alike = (uint16_t)(alike + 1);
    }
  }
  return alike == 1;
}

static enum gw_typed typed_number(const uint8_t *table, uint16_t index, const struct gw_shown *shown,
                                  struct gw_words text, uint8_t *value, uint16_t length) {
  struct decimal number;
  uint32_t special;
  uint64_t code;
  enum gw_typed read;
  if (named(table, index, &text, &special)) {
    bool negative = shown->how == GW_SHOW_SIGNED && special > INT32_MAX;
    return put_code(negative ? UINT32_C(0) - special : special, negative, negative, value, length);
  }
  read = read_number(&text, &number);
  if (read != GW_TYPED_OK) return read;
  gw_words_trim(&text);
  if (text.length > 0 && !gw_words_equal(&text, shown->unit.octets, shown->unit.length, false)) return GW_TYPED_UNKNOWN;
  read = to_code(shown, &number, &code);
  if (read != GW_TYPED_OK) return read;
  return put_code(code, number.negative != (shown->multiplier < 0), shown->how == GW_SHOW_SIGNED, value, length);
}

/** A whole number from 0, decimal or hex, that is all there is. */
static enum gw_typed read_code(struct gw_words text, uint32_t *code) {
  bool hex = text.length > 2 && text.at[0] == '0' && gw_lower(text.at[1]) == 'x';
  enum gw_typed read = GW_TYPED_OK;
  uint64_t number = 0;
  if (text.length == 0) return GW_TYPED_TYPE;
  if (hex) gw_words_skip(&text, 2);
  for (; text.length > 0; gw_words_skip(&text, 1)) {
    uint8_t digit = gw_hex_digit(text.at[0]);
    if (digit > (hex ? 15 : 9)) return GW_TYPED_TYPE;
    if (!append(&number, hex ? 16 : 10, digit) || number > UINT32_MAX) read = GW_TYPED_RANGE;
  }
  *code = (uint32_t)number;
  return read;
}

static enum gw_typed typed_enum(const uint8_t *table, uint16_t index, const struct gw_words *text, uint8_t *value,
                                uint16_t length) {
  uint32_t code;
  if (!named(table, index, text, &code)) {
    enum gw_typed read = read_code(*text, &code);
    if (read != GW_TYPED_OK) return read;
  }
  return put_code(code, false, false, value, length);
}

/** `bit 3`. */
static bool numbered_bit(struct gw_words text, uint32_t *bit) {
  static const uint8_t word[] = {'b', 'i', 't', ' '};
  struct gw_words first = text;
  if (text.length < 5) return false;
  first.length = 4;
  gw_words_skip(&text, 4);
  return gw_words_equal(&first, word, 4, true) && gw_words_decimal(&text, 2, bit);
}

static bool has_marks(const struct gw_words *text) {
  uint16_t i;
  for (i = 0; i < text->length; i++) {
    uint8_t octet = text->at[i];
    if (octet == '"' || octet == '(' || octet == ')' || octet == '[' || octet == ']') return true;
  }
  return false;
}

static enum gw_typed typed_flags(const uint8_t *table, uint16_t index, struct gw_words text, uint8_t *value,
                                 uint16_t length) {
  static const uint8_t none[] = {'n', 'o', 'n', 'e'};
  enum gw_typed read;
  uint32_t bits = 0;
  uint32_t bit;
  if (named(table, index, &text, &bit)) return put_code(UINT64_C(1) << (bit & 31u), false, false, value, length);
  if (has_marks(&text)) return GW_TYPED_UNKNOWN;
  if (text.length == 0 || gw_words_equal(&text, none, 4, true)) return put_code(0, false, false, value, length);
  read = read_code(text, &bits);
  if (read == GW_TYPED_OK) return put_code(bits, false, false, value, length);
  if (read == GW_TYPED_RANGE) return read;
  bits = 0;
  while (text.length > 0) {
    struct gw_words item = gw_words_until(&text, ',');
    gw_words_trim(&item);
    if (!named(table, index, &item, &bit) && !numbered_bit(item, &bit)) return GW_TYPED_TYPE;
    if (bit >= 8u * length || bit > 31) return GW_TYPED_TYPE;
    bits |= UINT32_C(1) << bit;
  }
  return put_code(bits, false, false, value, length);
}

static enum gw_typed typed_boolean(const struct gw_words *text, uint8_t *value) {
  static const char *const words[2][3] = {{"false", "off", "0"}, {"true", "on", "1"}};
  uint8_t state;
  uint8_t i;
  for (state = 0; state < 2; state++) {
    for (i = 0; i < 3; i++) {
      const char *word = words[state][i];
      uint16_t at = 0;
      while (at < text->length && word[at] != '\0' && gw_lower(text->at[at]) == (uint8_t)word[at]) at++;
      if (at < text->length || word[at] != '\0') continue;
      value[0] = state;
      return GW_TYPED_OK;
    }
  }
  return GW_TYPED_TYPE;
}

enum gw_typed gw_typed_value(const uint8_t *table, uint16_t index, const struct gw_words *text, uint8_t *value,
                             uint16_t length) {
  struct gw_words typed = *text;
  struct gw_shown shown;
  gw_words_trim(&typed);
  gw_table_shown(table, index, &shown);
  switch (shown.how) {
    case GW_SHOW_BOOLEAN:
      return typed_boolean(&typed, value);
    case GW_SHOW_UNSIGNED:
    case GW_SHOW_SIGNED:
      return typed_number(table, index, &shown, typed, value, length);
    case GW_SHOW_ENUM:
      return typed_enum(table, index, &typed, value, length);
    case GW_SHOW_FLAGS:
      return typed_flags(table, index, typed, value, length);
    case GW_SHOW_HEX:
    case GW_SHOW_UTF8:
      break;
  }
  return GW_TYPED_UNKNOWN;
}
