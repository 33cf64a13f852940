/* Whether octets are a sound table: everything that is an offset, an index or a length is followed once. */
#include "gw_memory.h"
#include "gw_packed.h"

enum { START_SIZE = 8 };

/* Fletcher-16. */
static uint16_t sum_of(const uint8_t *octets, size_t count) {
  unsigned first = 0;
  unsigned second = 0;
  for (size_t i = 0; i < count; i++) {
    first += octets[i];
    if (first >= 255) first -= 255;
    second += first;
    if (second >= 255) second -= 255;
  }
  return (uint16_t)(second << 8 | first);
}

#if !GW_TABLE_TRUSTED

enum { LONGEST_VALUE = 512, LONGEST_ADVERTISING = 31, LEAST_MTU = 23, MOST_MTU = 517 };

/* Whether so many entries fit between the offset that stands in the header and the end. */
static bool has_part(const uint8_t *table, unsigned at, size_t octets) {
  uint16_t offset = gw_header(table, at);
  return offset >= GW_HEADER_SIZE && offset + octets <= gw_header(table, GW_AT_SIZE);
}

/* Parts whose numbers are read at even addresses. */
static bool are_even(const uint8_t *table) {
  unsigned odd = 0;
  for (unsigned at = GW_AT_DIRECTORY_PART; at <= GW_AT_FAILSAFE_PART; at += 2) odd |= gw_header(table, at) & 1U;
  return odd == 0;
}

static bool in_pool(const uint8_t *table, uint16_t offset, size_t octets) {
  return offset + octets <= gw_header(table, GW_AT_POOL_SIZE);
}

/* A pool offset with a length octet behind it. */
static bool is_short_span(const uint8_t *table, const uint8_t *at) { return in_pool(table, gw_u16(at), at[2]); }

static bool has_parts(const uint8_t *table) {
  size_t last = gw_header(table, GW_AT_LAST_HANDLE);
  return has_part(table, GW_AT_CHAPTER_PART, (last >> 8) + 1) && has_part(table, GW_AT_DIRECTORY_PART, 0) &&
         has_part(table, GW_AT_ROW_PART, (size_t)gw_header(table, GW_AT_ROWS) * GW_ROW_ENTRY) &&
         has_part(table, GW_AT_DEFINITION_PART, (size_t)gw_header(table, GW_AT_DEFINITIONS) * GW_DEFINITION_ENTRY) &&
         has_part(table, GW_AT_CCCD_PART, (size_t)gw_header(table, GW_AT_CCCDS) * GW_CCCD_ENTRY) &&
         has_part(table, GW_AT_FAILSAFE_PART, (size_t)gw_header(table, GW_AT_FAILSAFES) * GW_FAILSAFE_ENTRY) &&
         has_part(table, GW_AT_BASE_PART, (size_t)table[GW_AT_BASES] * GW_BASE_ENTRY) &&
         has_part(table, GW_AT_POOL_PART, gw_header(table, GW_AT_POOL_SIZE)) &&
         gw_header(table, GW_AT_VALUES) <= gw_header(table, GW_AT_DEFINITIONS) &&
         gw_header(table, GW_AT_FAILSAFES) < GW_NONE8;
}

/* Every directory entry lies within the table, and the handles lead to the rows one after the other. */
static bool is_directory(const uint8_t *table) {
  const uint8_t *chapters = gw_part(table, GW_AT_CHAPTER_PART);
  uint32_t last = gw_header(table, GW_AT_LAST_HANDLE);
  for (uint32_t chapter = 0; chapter <= last >> 8; chapter++) {
    if (chapters[chapter] == GW_NO_PAGE) continue;
    size_t entries = chapter == last >> 8 ? ((last >> 4) & 15U) + 1 : 16;
    if (!has_part(table, GW_AT_DIRECTORY_PART, (chapters[chapter] * (size_t)16 + entries) * GW_DIRECTORY_ENTRY)) {
      return false;
    }
  }
  uint32_t handle = 0;
  uint16_t number = 0;
  for (const uint8_t *row; (row = gw_row_from(table, &handle)) != NULL; handle++, number++) {
    if (handle == 0 || row != gw_row_numbered(table, number)) return false;
  }
  return number == gw_header(table, GW_AT_ROWS);
}

static bool is_row(const uint8_t *table, const uint8_t *row, bool last) {
  uint16_t ref = gw_row_ref(row);
  if (row[2] > table[GW_AT_BASES] || (row[3] & 7) > 4 || ((row[3] >> 3) & 7) > 4) return false;
  switch (gw_row_kind(row)) {
  case GW_ROW_CONSTANT:
    return gw_row_length(row) <= LONGEST_VALUE && in_pool(table, ref, gw_row_length(row));
  case GW_ROW_CHARACTERISTIC:
    return !last;
  case GW_ROW_KEPT:
    return ref < gw_header(table, GW_AT_DEFINITIONS) &&
           ((row[3] & 0x40) == 0 ||
            gw_definition_max(gw_definition(table, ref)) <= gw_header(table, GW_AT_LONGEST_WRITABLE));
  case GW_ROW_CCCD:
    return ref < gw_header(table, GW_AT_CCCDS) && gw_row_allowed(row) == gw_cccd(table, ref)[2];
  default:
    return gw_row_kind(row) <= GW_ROW_CLIENT_FEATURES;
  }
}

static bool are_rows(const uint8_t *table) {
  uint16_t rows = gw_header(table, GW_AT_ROWS);
  for (uint16_t i = 0; i < rows; i++) {
    if (!is_row(table, gw_row_numbered(table, i), i + 1 == rows)) return false;
  }
  return true;
}

/* A number in groups of 7 bits, if it ends before `end`. */
static bool read_variable(const uint8_t **at, const uint8_t *end, uint32_t *value) {
  *value = 0;
  for (unsigned shift = 0; shift <= 14 && *at < end; shift += 7) {
    uint8_t octet = *(*at)++;
    *value |= (uint32_t)(octet & 0x7FU) << shift;
    if ((octet & 0x80U) == 0) return true;
  }
  return false;
}

/* Moves behind `octets`, if they end before `end`. */
static bool pass(const uint8_t **at, const uint8_t *end, size_t octets) {
  if ((size_t)(end - *at) < octets) return false;
  *at += octets;
  return true;
}

/* Whether a check program ends, and its arrays are not nested too deep, before `end`. */
static bool program_ends(const uint8_t *program, const uint8_t *end) {
  unsigned depth = 0;
  while (program < end) {
    unsigned operation = *program++;
    const uint8_t *arguments = program;
    size_t n = operation >> 4;
    uint32_t count = 0;
    uint32_t item = 0;
    bool sound = true;
    switch (operation & 15U) {
    case GW_OP_END:
      if (depth == 0) return true;
      depth--;
      break;
    case GW_OP_SKIP:
    case GW_OP_UTF8:
    case GW_OP_UTF16:
      sound = read_variable(&program, end, &count);
      break;
    case GW_OP_ZERO:
      sound = read_variable(&program, end, &count) && pass(&program, end, 1);
      break;
    case GW_OP_SIGN:
      break;
    case GW_OP_RANGES:
      sound = pass(&program, end, 1) && read_variable(&program, end, &count) &&
              pass(&program, end, 2 * (n + 1) * count);
      break;
    case GW_OP_MASK:
      sound = pass(&program, end, n + 1);
      break;
    case GW_OP_BITS:
      sound = pass(&program, end, 2) && arguments[0] < 8 && (arguments[1] & 0x7FU) >= 2 &&
              (arguments[1] & 0x7FU) <= 16 && read_variable(&program, end, &count) &&
              pass(&program, end, (size_t)4 * count);
      break;
    case GW_OP_MEDFLOAT:
      sound = (n & 2U) == 0 || pass(&program, end, (n & 1U) != 0 ? 8 : 4);
      break;
    case GW_OP_ARRAY:
      sound = read_variable(&program, end, &item) && read_variable(&program, end, &count) && item > 0 &&
              (count > 0 || depth == 0) && ++depth <= GW_CHECK_DEPTH;
      break;
    default:
      sound = false;
      break;
    }
    if (!sound) return false;
  }
  return false;
}

static bool are_definitions(const uint8_t *table) {
  const uint8_t *pool_end = gw_pool(table, gw_header(table, GW_AT_POOL_SIZE));
  for (uint16_t i = 0; i < gw_header(table, GW_AT_DEFINITIONS); i++) {
    const uint8_t *definition = gw_definition(table, i);
    uint16_t min = gw_definition_min(definition);
    uint16_t max = gw_definition_max(definition);
    uint16_t start = gw_definition_start(table, definition).length;
    uint16_t program = gw_definition_check(definition);
    uint16_t cccd = gw_definition_cccd(definition);
    uint8_t failsafe = gw_definition_failsafe(definition);
    if (min > max || max > gw_header(table, GW_AT_LONGEST_VALUE) || start < min || start > max) return false;
    if (gw_definition_slot(definition) + (min == max ? 0 : 2) + max > gw_header(table, GW_AT_VALUE_OCTETS)) return false;
    if (!in_pool(table, gw_u16(definition + 8), start)) return false;
    if (program != GW_NONE16 && !program_ends(gw_pool(table, program), pool_end)) return false;
    if (cccd != GW_NONE16 && cccd >= gw_header(table, GW_AT_CCCDS)) return false;
    if (failsafe != GW_NONE8 && failsafe >= gw_header(table, GW_AT_FAILSAFES)) return false;
  }
  return gw_header(table, GW_AT_LONGEST_VALUE) <= LONGEST_VALUE;
}

static bool are_cccds(const uint8_t *table) {
  uint16_t indicatable = 0;
  for (uint16_t i = 0; i < gw_header(table, GW_AT_CCCDS); i++) {
    const uint8_t *cccd = gw_cccd(table, i);
    uint8_t policy = gw_cccd_policy(cccd);
    bool of_value = gw_cccd_definition(cccd) != GW_NONE16;
    if (of_value && gw_cccd_definition(cccd) >= gw_table_values(table)) return false;
    if (policy > GW_POLICY_EVERY || (policy == GW_POLICY_EVERY && gw_cccd_period(cccd) == 0)) return false;
    if (policy != GW_POLICY_NONE && !of_value) return false;
    if ((cccd[2] & GW_INDICATE) != 0) indicatable++;
  }
  return indicatable <= gw_header(table, GW_AT_INDICATABLE);
}

static bool are_failsafes(const uint8_t *table) {
  for (uint16_t i = 0; i < gw_header(table, GW_AT_FAILSAFES); i++) {
    const uint8_t *failsafe = gw_failsafe(table, i);
    uint16_t length = gw_u16(failsafe + 4);
    if (gw_u16(failsafe) >= gw_table_values(table) || !in_pool(table, gw_u16(failsafe + 2), length)) return false;
    const uint8_t *definition = gw_definition(table, gw_u16(failsafe));
    if (length < gw_definition_min(definition) || length > gw_definition_max(definition)) return false;
  }
  return true;
}

static bool are_words(const uint8_t *table) {
  if (gw_header(table, GW_AT_WORD_PART) == 0) return true;
  uint16_t values = gw_table_values(table);
  if (!has_part(table, GW_AT_WORD_PART, GW_BOARD_WORDS + (size_t)values * GW_VALUE_WORDS)) return false;
  const uint8_t *part = gw_part(table, GW_AT_WORD_PART);
  if (!is_short_span(table, part)) return false;
  const uint8_t *entry = part + GW_BOARD_WORDS;
  for (uint16_t i = 0; i < values; i++, entry += GW_VALUE_WORDS) {
    for (unsigned text = 0; text < 9; text += 3) {
      if (!is_short_span(table, entry + text)) return false;
    }
    uint16_t names = gw_u16(entry + 14);
    if (entry[9] > GW_SHOW_UTF8) return false;
    if (!has_part(table, GW_AT_WORD_PART, names + (size_t)entry[16] * GW_NAME_ENTRY)) return false;
    for (unsigned name = 0; name < entry[16]; name++) {
      if (!is_short_span(table, part + names + (size_t)name * GW_NAME_ENTRY + 4)) return false;
    }
  }
  return true;
}

static bool is_radio(const uint8_t *table) {
  uint16_t mtu = gw_header(table, GW_AT_MTU);
  return is_short_span(table, table + GW_AT_ADVERTISING) && table[GW_AT_ADVERTISING + 2] <= LONGEST_ADVERTISING &&
         is_short_span(table, table + GW_AT_SCAN_RESPONSE) && table[GW_AT_SCAN_RESPONSE + 2] <= LONGEST_ADVERTISING &&
         in_pool(table, gw_header(table, GW_AT_HASH), 16) && mtu >= LEAST_MTU && mtu <= MOST_MTU &&
         gw_header(table, GW_AT_LONGEST_WRITABLE) >= 16 && gw_header(table, GW_AT_LONGEST_WRITABLE) <= LONGEST_VALUE;
}

#endif

bool gw_table_check(const uint8_t *table, size_t size) {
  static const uint8_t magic[4] = {'G', 'W', 'T', 1};
  if (size < GW_HEADER_SIZE || ((uintptr_t)table & 1U) != 0 || memcmp(table, magic, sizeof magic) != 0) return false;
  uint16_t octets = gw_header(table, GW_AT_SIZE);
  if (octets < GW_HEADER_SIZE || octets > size) return false;
  if (sum_of(table + START_SIZE, (size_t)octets - START_SIZE) != gw_header(table, GW_AT_SUM)) return false;
#if GW_TABLE_TRUSTED
  return true;
#else
  return has_parts(table) && are_even(table) && is_directory(table) && are_definitions(table) && are_cccds(table) && are_rows(table) &&
         are_failsafes(table) && are_words(table) && is_radio(table);
#endif
}
