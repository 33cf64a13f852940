#include "gw_words.h"

uint8_t gw_hex_digit(uint8_t octet) {
  uint8_t letter = gw_lower(octet);
  if (gw_is_digit(octet)) return (uint8_t)(octet - '0');
  return letter >= 'a' && letter <= 'f' ? (uint8_t)(letter - 'a' + 10) : 16;
}

void gw_words_skip(struct gw_words *words, uint16_t count) {
  if (count > words->length) count = words->length;
  words->at += count;
  words->length = (uint16_t)(words->length - count);
}

void gw_words_trim(struct gw_words *words) {
  while (words->length > 0 && gw_is_blank(words->at[0])) gw_words_skip(words, 1);
  while (words->length > 0 && gw_is_blank(words->at[words->length - 1])) words->length = (uint16_t)(words->length - 1);
}

struct gw_words gw_words_next(struct gw_words *words) {
  struct gw_words word;
  while (words->length > 0 && gw_is_blank(words->at[0])) gw_words_skip(words, 1);
  word.at = words->at;
  word.length = 0;
  while (word.length < words->length && !gw_is_blank(word.at[word.length])) word.length = (uint16_t)(word.length + 1);
  gw_words_skip(words, word.length);
  return word;
}

struct gw_words gw_words_until(struct gw_words *words, uint8_t separator) {
  struct gw_words word = *words;
  word.length = 0;
  while (word.length < words->length && word.at[word.length] != separator) word.length = (uint16_t)(word.length + 1);
  gw_words_skip(words, (uint16_t)(word.length + 1));
  return word;
}

bool gw_words_are(const struct gw_words *words, const char *text) {
  uint16_t i;
  for (i = 0; i < words->length; i++) {
    if (text[i] == '\0' || words->at[i] != (uint8_t)text[i]) return false;
  }
  return text[i] == '\0';
}

bool gw_words_equal(const struct gw_words *words, const uint8_t *octets, uint16_t length, bool fold) {
  uint16_t i;
  if (words->length != length) return false;
  for (i = 0; i < length; i++) {
    uint8_t a = words->at[i];
    uint8_t b = octets[i];
    if (fold ? gw_lower(a) != gw_lower(b) : a != b) return false;
  }
  return true;
}

bool gw_words_decimal(const struct gw_words *words, uint8_t most, uint32_t *number) {
  uint16_t i;
  *number = 0;
  if (words->length == 0 || words->length > most) return false;
  for (i = 0; i < words->length; i++) {
    if (!gw_is_digit(words->at[i])) return false;
    *number = *number * 10 + (uint32_t)(words->at[i] - '0');
  }
  return true;
}

int32_t gw_words_hex(const struct gw_words *words, uint8_t *into) {
  uint16_t at = 0;
  int32_t count = 0;
  while (at < words->length) {
    uint8_t octet = words->at[at];
    if (gw_is_blank(octet) || octet == ':' || octet == '-') {
      at = (uint16_t)(at + 1);
      continue;
    }
    if (at + 1 == words->length || gw_hex_digit(octet) > 15 || gw_hex_digit(words->at[at + 1]) > 15) return -1;
    into[count] = (uint8_t)(gw_hex_digit(octet) << 4 | gw_hex_digit(words->at[at + 1]));
    count += 1;
    at = (uint16_t)(at + 2);
  }
  return count;
}

/** Reads `digits` hex digits; false when they are not there. */
static bool hex_number(const struct gw_words *words, uint16_t at, uint8_t digits, uint32_t *number) {
  *number = 0;
  for (; digits > 0; digits--) {
    uint8_t value = at < words->length ? gw_hex_digit(words->at[at]) : 16;
    if (value > 15) return false;
    *number = *number << 4 | value;
    at = (uint16_t)(at + 1);
  }
  return true;
}

/** RFC 3629 section 3, and the same for half a surrogate pair. */
static uint8_t encode(uint32_t character, uint8_t *into) {
  if (character < 0x80) {
    into[0] = (uint8_t)character;
    return 1;
  }
  if (character < 0x800) {
    into[0] = (uint8_t)(0xC0u | character >> 6);
    into[1] = (uint8_t)(0x80u | (character & 0x3Fu));
    return 2;
  }
  if (character < 0x10000) {
    into[0] = (uint8_t)(0xE0u | character >> 12);
    into[1] = (uint8_t)(0x80u | (character >> 6 & 0x3Fu));
    into[2] = (uint8_t)(0x80u | (character & 0x3Fu));
    return 3;
  }
  into[0] = (uint8_t)(0xF0u | character >> 18);
  into[1] = (uint8_t)(0x80u | (character >> 12 & 0x3Fu));
  into[2] = (uint8_t)(0x80u | (character >> 6 & 0x3Fu));
  into[3] = (uint8_t)(0x80u | (character & 0x3Fu));
  return 4;
}

/** The character of the escape at `at`, a backslash. @return octets of the escape, 0 when it is none */
static uint8_t escape_at(const struct gw_words *words, uint16_t at, uint32_t *character) {
  uint8_t letter = at + 1 < words->length ? words->at[at + 1] : 0;
  uint32_t low;
  switch (letter) {
    case 'n':
      *character = '\n';
      return 2;
    case 'r':
      *character = '\r';
      return 2;
    case 't':
      *character = '\t';
      return 2;
    case '\\':
      *character = '\\';
      return 2;
    case 'x':
      return hex_number(words, (uint16_t)(at + 2), 2, character) ? 4 : 0;
    case 'u':
      if (!hex_number(words, (uint16_t)(at + 2), 4, character)) return 0;
      if (*character < 0xD800 || *character > 0xDBFF) return 6;
      if (at + 7 < words->length && words->at[at + 6] == '\\' && words->at[at + 7] == 'u' &&
          hex_number(words, (uint16_t)(at + 8), 4, &low) && low >= 0xDC00 && low <= 0xDFFF) {
        *character = 0x10000u + ((*character - 0xD800u) << 10) + (low - 0xDC00u);
        return 12;
      }
      return 6;
    default:
      return 0;
  }
}

int32_t gw_words_unescape(const struct gw_words *words, uint8_t *into) {
  uint16_t at = 0;
  int32_t count = 0;
  while (at < words->length) {
    uint32_t character;
    uint8_t taken;
    if (words->at[at] != '\\') {
      into[count] = words->at[at];
      count += 1;
      at = (uint16_t)(at + 1);
      continue;
    }
    taken = escape_at(words, at, &character);
    if (taken == 0) return -1;
    at = (uint16_t)(at + taken);
    count += encode(character, into + count);
  }
  return count;
}
