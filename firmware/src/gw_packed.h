/* Where things are in a packed table (docs/packed-table.md). For the board's own files. */
#ifndef GW_PACKED_H
#define GW_PACKED_H

#include "gw_table.h"
#include "gw_le.h"

/* Offsets in the header. */
enum {
  GW_AT_SIZE = 4,
  GW_AT_SUM = 6,
  GW_AT_ROWS = 8,
  GW_AT_VALUES = 10,
  GW_AT_DEFINITIONS = 12,
  GW_AT_CCCDS = 14,
  GW_AT_FAILSAFES = 16,
  GW_AT_BASES = 18,
  GW_AT_LAST_HANDLE = 20,
  GW_AT_SERVICE_CHANGED = 22,
  GW_AT_CHAPTER_PART = 24,
  GW_AT_DIRECTORY_PART = 26,
  GW_AT_ROW_PART = 28,
  GW_AT_DEFINITION_PART = 30,
  GW_AT_CCCD_PART = 32,
  GW_AT_FAILSAFE_PART = 34,
  GW_AT_BASE_PART = 36,
  GW_AT_POOL_PART = 38,
  GW_AT_POOL_SIZE = 40,
  GW_AT_WORD_PART = 42,
  GW_AT_VALUE_OCTETS = 44,
  GW_AT_PREPARE_QUEUE = 46,
  GW_AT_LONGEST_VALUE = 48,
  GW_AT_LONGEST_WRITABLE = 50,
  GW_AT_INDICATABLE = 52,
  GW_AT_ADVERTISING = 54,
  GW_AT_SCAN_RESPONSE = 57,
  GW_AT_HASH = 60,
  GW_AT_RADIO = 62,
  GW_AT_MTU = 74,
  GW_HEADER_SIZE = 80
};

/* Octets of one entry. */
enum {
  GW_DIRECTORY_ENTRY = 4,
  GW_ROW_ENTRY = 8,
  GW_DEFINITION_ENTRY = 16,
  GW_CCCD_ENTRY = 14,
  GW_FAILSAFE_ENTRY = 12,
  GW_BASE_ENTRY = 16,
  GW_BOARD_WORDS = 3,
  GW_VALUE_WORDS = 17,
  GW_NAME_ENTRY = 7
};

enum { GW_NO_PAGE = 0xFF, GW_NONE8 = 0xFF, GW_NONE16 = 0xFFFF };

static inline uint16_t gw_header(const uint8_t *table, unsigned at) { return gw_even16(table + at); }

/** A part of the table by the place of its offset in the header. */
static inline const uint8_t *gw_part(const uint8_t *table, unsigned at) { return table + gw_even16(table + at); }

static inline const uint8_t *gw_pool(const uint8_t *table, uint16_t offset) {
  return gw_part(table, GW_AT_POOL_PART) + offset;
}

/* Rows. */

enum gw_row_kind {
  GW_ROW_CONSTANT,
  GW_ROW_CHARACTERISTIC,
  GW_ROW_SERVICE,
  GW_ROW_KEPT,
  GW_ROW_CCCD,
  GW_ROW_SERVICE_CHANGED,
  GW_ROW_CLIENT_FEATURES
};

static inline uint16_t gw_row_length(const uint8_t *row) { return gw_even16(row + 4) & 0x3FFU; }
static inline unsigned gw_row_kind(const uint8_t *row) { return (row[5] >> 2) & 7U; }
static inline unsigned gw_row_allowed(const uint8_t *row) { return (row[5] >> 5) & 3U; }
static inline uint16_t gw_row_ref(const uint8_t *row) { return gw_even16(row + 6); }
static inline uint16_t gw_row_slot(const uint8_t *row) { return gw_even16(row); }

/** Number of the base of the row's type, 0 for a 16-bit UUID. */
static inline unsigned gw_row_base(const uint8_t *row) { return gw_row_kind(row) == GW_ROW_SERVICE ? 0 : row[2]; }

/** Whether the row has this 16-bit type. */
static inline bool gw_row_is(const uint8_t *row, uint16_t type) {
  return gw_row_slot(row) == type && gw_row_base(row) == 0;
}

/** The row of the first attribute at `*handle` or behind it, whose handle `*handle` becomes; null when there is none. */
const uint8_t *gw_row_from(const uint8_t *table, uint32_t *handle);

/** The row of a handle; null when there is no such attribute. */
static inline const uint8_t *gw_row_at(const uint8_t *table, uint16_t handle) {
  uint32_t found = handle;
  const uint8_t *row = gw_row_from(table, &found);
  return found == handle ? row : NULL;
}

static inline uint16_t gw_row_number(const uint8_t *table, const uint8_t *row) {
  return (uint16_t)((size_t)(row - gw_part(table, GW_AT_ROW_PART)) / GW_ROW_ENTRY);
}

static inline const uint8_t *gw_row_numbered(const uint8_t *table, uint16_t number) {
  return gw_part(table, GW_AT_ROW_PART) + (size_t)number * GW_ROW_ENTRY;
}

/** A UUID by what a table knows of it. `base` 0: a 16-bit one; GW_NO_BASE: none of the table's. */
struct gw_uuid {
  uint16_t base;
  uint16_t slot;
};
enum { GW_NO_BASE = 0x100 };

/** Reads a UUID of 2 or 16 octets from a PDU; the long form of a 16-bit one is the same UUID. */
struct gw_uuid gw_uuid_at(const uint8_t *table, const uint8_t *octets, uint16_t length);

/** Writes a UUID as on the air. @param base 0 for a 16-bit one  @return 2 or 16 */
uint16_t gw_uuid_octets(const uint8_t *table, unsigned base, uint16_t slot, uint8_t *to);

/* Definitions. */

static inline const uint8_t *gw_definition(const uint8_t *table, uint16_t number) {
  return gw_part(table, GW_AT_DEFINITION_PART) + (size_t)number * GW_DEFINITION_ENTRY;
}

/** Least, most and start octets, and the need. */
static inline uint32_t gw_lengths(const uint8_t *definition) {
  return gw_even16(definition + 4) | ((uint32_t)gw_even16(definition + 6) << 16);
}

static inline uint16_t gw_definition_handle(const uint8_t *definition) { return gw_even16(definition); }
static inline uint16_t gw_definition_slot(const uint8_t *definition) { return gw_even16(definition + 2); }
static inline uint16_t gw_definition_min(const uint8_t *definition) { return gw_even16(definition + 4) & 0x3FFU; }
static inline uint16_t gw_definition_max(const uint8_t *definition) {
  return (uint16_t)((gw_lengths(definition) >> 10) & 0x3FFU);
}
static inline struct gw_span gw_definition_start(const uint8_t *table, const uint8_t *definition) {
  struct gw_span start;
  start.octets = gw_pool(table, gw_even16(definition + 8));
  start.length = (uint16_t)((gw_lengths(definition) >> 20) & 0x3FFU);
  return start;
}
/** 1 open .. 4 secure connections, as in a row's permissions. */
static inline unsigned gw_definition_need(const uint8_t *definition) { return 1U + (definition[7] >> 6); }
static inline uint16_t gw_definition_check(const uint8_t *definition) { return gw_even16(definition + 10); }
static inline uint16_t gw_definition_cccd(const uint8_t *definition) { return gw_even16(definition + 12); }
static inline uint8_t gw_definition_refusal(const uint8_t *definition) { return definition[14]; }
static inline uint8_t gw_definition_failsafe(const uint8_t *definition) { return definition[15]; }

/* CCCDs. */

enum { GW_POLICY_NONE, GW_POLICY_CHANGE, GW_POLICY_EVERY };
enum { GW_NOTIFY = 1, GW_INDICATE = 2 };

static inline const uint8_t *gw_cccd(const uint8_t *table, uint16_t number) {
  return gw_part(table, GW_AT_CCCD_PART) + (size_t)number * GW_CCCD_ENTRY;
}

static inline uint16_t gw_cccd_definition(const uint8_t *cccd) { return gw_even16(cccd); }
static inline uint8_t gw_cccd_policy(const uint8_t *cccd) { return cccd[3]; }
static inline uint64_t gw_cccd_spacing(const uint8_t *cccd) { return gw_u40(cccd + 4); }
static inline uint64_t gw_cccd_period(const uint8_t *cccd) { return gw_u40(cccd + 9); }

/* Failsafes. */

static inline const uint8_t *gw_failsafe(const uint8_t *table, uint16_t number) {
  return gw_part(table, GW_AT_FAILSAFE_PART) + (size_t)number * GW_FAILSAFE_ENTRY;
}

/* Check programs. */

enum gw_operation {
  GW_OP_END,
  GW_OP_SKIP,
  GW_OP_ZERO,
  GW_OP_SIGN,
  GW_OP_RANGES,
  GW_OP_MASK,
  GW_OP_BITS,
  GW_OP_MEDFLOAT,
  GW_OP_UTF8,
  GW_OP_UTF16,
  GW_OP_ARRAY
};

/** Arrays within arrays. */
enum { GW_CHECK_DEPTH = 4 };

/** A number in groups of 7 bits; `*at` moves behind it. */
static inline uint32_t gw_variable(const uint8_t **at) {
  uint32_t value = 0;
  unsigned shift = 0;
  for (;;) {
    uint8_t octet = *(*at)++;
    value |= (uint32_t)(octet & 0x7FU) << shift;
    if ((octet & 0x80U) == 0 || shift >= 14) return value;
    shift += 7;
  }
}

#endif
