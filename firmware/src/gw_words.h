/* Words of a typed line. */
#ifndef GW_WORDS_H
#define GW_WORDS_H

#include "gw_types.h"

/** Octets of a line, not ended by a NUL. */
struct gw_words {
  const uint8_t *at;
  uint16_t length;
};

static inline bool gw_is_blank(uint8_t octet) { return octet == ' ' || octet == '\t'; }

static inline bool gw_is_digit(uint8_t octet) { return octet >= '0' && octet <= '9'; }

static inline uint8_t gw_lower(uint8_t octet) {
  return octet >= 'A' && octet <= 'Z' ? (uint8_t)(octet + ('a' - 'A')) : octet;
}

/** 0..15; 16 for what is no hex digit. */
uint8_t gw_hex_digit(uint8_t octet);

/** Takes `count` octets away from the front. */
void gw_words_skip(struct gw_words *words, uint16_t count);

/** Takes blanks away from both ends. */
void gw_words_trim(struct gw_words *words);

/** Takes the next word, and blanks before it; empty when there is none. */
struct gw_words gw_words_next(struct gw_words *words);

/** Takes all up to the next `separator`, and that too. */
struct gw_words gw_words_until(struct gw_words *words, uint8_t separator);

/** Whether the words are these, ASCII to its NUL. */
bool gw_words_are(const struct gw_words *words, const char *text);

/** Whether the words are these octets; `fold`: letters A to Z count as a to z. */
bool gw_words_equal(const struct gw_words *words, const uint8_t *octets, uint16_t length, bool fold);

/** Reads decimal digits, at most `most` of them, that are all there is. */
bool gw_words_decimal(const struct gw_words *words, uint8_t most, uint32_t *number);

/** Octets from pairs of hex digits, with blanks, colons and hyphens between the pairs; `into` may be the same place.
    @return how many, or -1 */
int32_t gw_words_hex(const struct gw_words *words, uint8_t *into);

/** Resolves the escapes of docs/console.md; `into` may be the same place. Half a surrogate pair becomes the three octets
    that no UTF-8 has.
    @return how many octets, or -1 when a backslash begins no escape */
int32_t gw_words_unescape(const struct gw_words *words, uint8_t *into);

/** The candidate most like a word is found by offering all of them. */
struct gw_nearest {
  struct gw_words word;
  struct gw_words best;
  uint8_t distance;
  uint8_t begun; /* candidates with the same beginning */
  struct gw_words beginning;
};

void gw_nearest_init(struct gw_nearest *nearest, const struct gw_words *word);
void gw_nearest_offer(struct gw_nearest *nearest, const uint8_t *candidate, uint16_t length);
/** Empty when none is near. */
struct gw_words gw_nearest_best(const struct gw_nearest *nearest);

#endif
