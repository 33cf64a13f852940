#include "gw_words.h"

/** Longer words are not compared. */
#define LONGEST 48

static uint8_t fold(uint8_t octet) {
  return octet == '_' ? (uint8_t)'-' : gw_lower(octet);
}

static uint8_t smaller(uint8_t a, uint8_t b) { return a < b ? a : b; }

/** Edits from one to the other: insert, delete, replace, swap of neighbours (optimal string alignment). */
static uint8_t edits(const struct gw_words *a, const uint8_t *b, uint8_t length) {
  uint8_t rows[3][LONGEST + 1];
  uint8_t *older = rows[0];
  uint8_t *previous = rows[1];
  uint8_t *row = rows[2];
  uint8_t i;
  uint8_t j;
  for (j = 0; j <= length; j++) {
    previous[j] = j;
    older[j] = 0;
  }
  for (i = 1; i <= a->length; i++) {
    uint8_t *next = older;
    row[0] = i;
    for (j = 1; j <= length; j++) {
      uint8_t cost = fold(a->at[i - 1]) == fold(b[j - 1]) ? 0 : 1;
      uint8_t least = smaller((uint8_t)(previous[j] + 1), (uint8_t)(row[j - 1] + 1));
      least = smaller(least, (uint8_t)(previous[j - 1] + cost));
      if (i > 1 && j > 1 && fold(a->at[i - 1]) == fold(b[j - 2]) && fold(a->at[i - 2]) == fold(b[j - 1])) {
        least = smaller(least, (uint8_t)(older[j - 2] + 1));
      }
      row[j] = least;
    }
    older = previous;
    previous = row;
    row = next;
  }
  return previous[length];
}

static bool begins(const struct gw_words *word, const uint8_t *beginning, uint16_t length) {
  uint16_t i;
  if (word->length < length) return false;
  for (i = 0; i < length; i++) {
    if (fold(word->at[i]) != fold(beginning[i])) return false;
  }
  return true;
}

void gw_nearest_init(struct gw_nearest *nearest, const struct gw_words *word) {
  uint8_t third = (uint8_t)(word->length > LONGEST ? 4 : word->length / 3);
  nearest->word = *word;
  nearest->best.at = NULL;
  nearest->best.length = 0;
  nearest->distance = (uint8_t)((third < 1 ? 1 : third > 4 ? 4 : third) + 1);
  nearest->begun = 0;
  nearest->beginning = nearest->best;
}

void gw_nearest_offer(struct gw_nearest *nearest, const uint8_t *candidate, uint16_t length) {
  struct gw_words offered;
  bool same;
  offered.at = candidate;
  offered.length = length;
  same = begins(&offered, nearest->word.at, nearest->word.length) ||
         (nearest->word.length > length && fold(nearest->word.at[length]) == '-' &&
          begins(&nearest->word, candidate, length));
  if (same && length >= 3 && nearest->word.length >= 3) {
    if (nearest->begun < 2) nearest->begun = (uint8_t)(nearest->begun + 1);
    nearest->beginning = offered;
  }
  if (length <= LONGEST && nearest->word.length <= LONGEST) {
    uint8_t distance = edits(&nearest->word, candidate, (uint8_t)length);
    if (distance < nearest->distance) {
      nearest->best = offered;
      nearest->distance = distance;
    }
  }
}

struct gw_words gw_nearest_best(const struct gw_nearest *nearest) {
  return nearest->best.at != NULL || nearest->begun != 1 ? nearest->best : nearest->beginning;
}
