#include "gw_memory.h"
#include "gw_packed.h"

enum { SLOT_AT = 12 };

static unsigned count_bits(unsigned bits) {
  bits = bits - ((bits >> 1) & 0x5555U);
  bits = (bits & 0x3333U) + ((bits >> 2) & 0x3333U);
  bits = (bits + (bits >> 4)) & 0x0F0FU;
  return (bits + (bits >> 8)) & 0x1FU;
}

const uint8_t *gw_row_from(const uint8_t *table, uint32_t *handle) {
  const uint8_t *chapters = gw_part(table, GW_AT_CHAPTER_PART);
  const uint8_t *directory = gw_part(table, GW_AT_DIRECTORY_PART);
  uint32_t last = gw_header(table, GW_AT_LAST_HANDLE);
  uint32_t at = *handle;
  while (at <= last) {
    unsigned page = chapters[at >> 8];
    if (page == GW_NO_PAGE) {
      at = (at | 0xFFU) + 1U;
      continue;
    }
    const uint8_t *entry = directory + (page * 16U + ((at >> 4) & 15U)) * GW_DIRECTORY_ENTRY;
    unsigned present = gw_even16(entry + 2);
    unsigned ahead = present >> (at & 15U);
    if (ahead == 0) {
      at = (at | 15U) + 1U;
      continue;
    }
    for (; (ahead & 1U) == 0; ahead >>= 1) at++;
    *handle = at;
    unsigned row = gw_even16(entry) + count_bits(present & ((1U << (at & 15U)) - 1U));
    return gw_part(table, GW_AT_ROW_PART) + (size_t)row * GW_ROW_ENTRY;
  }
  *handle = 0x10000U;
  return NULL;
}

uint16_t gw_uuid_octets(const uint8_t *table, unsigned base, uint16_t slot, uint8_t *to) {
  if (base == 0) {
    gw_put16(to, slot);
    return 2;
  }
  memcpy(to, gw_part(table, GW_AT_BASE_PART) + (size_t)(base - 1U) * GW_BASE_ENTRY, GW_BASE_ENTRY);
  gw_put16(to + SLOT_AT, slot);
  return GW_BASE_ENTRY;
}

/* Whether 16 octets are a base, but for their slot. */
static bool has_base(const uint8_t *octets, const uint8_t *base) {
  enum { TAIL_AT = SLOT_AT + 2 };
  return memcmp(octets, base, SLOT_AT) == 0 && memcmp(octets + TAIL_AT, base + TAIL_AT, GW_BASE_ENTRY - TAIL_AT) == 0;
}

struct gw_uuid gw_uuid_at(const uint8_t *table, const uint8_t *octets, uint16_t length) {
  /* The Bluetooth Base UUID, least significant octet first. Core Vol 3 Part B 2.5.1. */
  static const uint8_t bluetooth[GW_BASE_ENTRY] = {0xFB, 0x34, 0x9B, 0x5F, 0x80, 0, 0, 0x80, 0, 0x10, 0, 0, 0, 0, 0, 0};
  struct gw_uuid uuid = {0, 0};
  if (length == 2) {
    uuid.slot = gw_u16(octets);
    return uuid;
  }
  uuid.slot = gw_u16(octets + SLOT_AT);
  if (has_base(octets, bluetooth)) return uuid;
  const uint8_t *base = gw_part(table, GW_AT_BASE_PART);
  for (unsigned i = 1; i <= table[GW_AT_BASES]; i++, base += GW_BASE_ENTRY) {
    if (!has_base(octets, base)) continue;
    uuid.base = (uint16_t)i;
    return uuid;
  }
  uuid.base = GW_NO_BASE;
  return uuid;
}

uint16_t gw_table_values(const uint8_t *table) { return gw_header(table, GW_AT_VALUES); }

uint16_t gw_table_min_length(const uint8_t *table, uint16_t index) {
  return gw_definition_min(gw_definition(table, index));
}

uint16_t gw_table_max_length(const uint8_t *table, uint16_t index) {
  return gw_definition_max(gw_definition(table, index));
}

struct gw_span gw_table_start(const uint8_t *table, uint16_t index) {
  return gw_definition_start(table, gw_definition(table, index));
}

uint16_t gw_table_handle(const uint8_t *table, uint16_t index) {
  return gw_definition_handle(gw_definition(table, index));
}

/* A pool offset and a length octet behind it. */
static struct gw_span short_span(const uint8_t *table, const uint8_t *at) {
  struct gw_span span;
  span.octets = gw_pool(table, gw_u16(at));
  span.length = at[2];
  return span;
}

struct gw_span gw_table_advertising(const uint8_t *table) { return short_span(table, table + GW_AT_ADVERTISING); }

struct gw_span gw_table_scan_response(const uint8_t *table) { return short_span(table, table + GW_AT_SCAN_RESPONSE); }

struct gw_span gw_table_hash(const uint8_t *table) {
  struct gw_span span;
  span.octets = gw_pool(table, gw_header(table, GW_AT_HASH));
  span.length = 16;
  return span;
}

void gw_table_radio(const uint8_t *table, struct gw_radio *radio) {
  const uint8_t *at = table + GW_AT_RADIO;
  radio->advertise_min = gw_u16(at);
  radio->advertise_max = gw_u16(at + 2);
  radio->interval_min = gw_u16(at + 4);
  radio->interval_max = gw_u16(at + 6);
  radio->latency = gw_u16(at + 8);
  radio->timeout = gw_u16(at + 10);
  radio->mtu = gw_u16(at + 12);
  radio->data_length = gw_u16(at + 14);
  radio->phy = at[16];
  radio->coding = at[17];
}

/* Words for people: the board's entry, then one a value. */
static struct gw_span words(const uint8_t *table, size_t at) {
  if (gw_header(table, GW_AT_WORD_PART) == 0) {
    struct gw_span none = {NULL, 0};
    return none;
  }
  return short_span(table, gw_part(table, GW_AT_WORD_PART) + at);
}

static size_t value_words(uint16_t index) { return GW_BOARD_WORDS + (size_t)index * GW_VALUE_WORDS; }

struct gw_span gw_table_name(const uint8_t *table) { return words(table, 0); }

struct gw_span gw_table_id(const uint8_t *table, uint16_t index) { return words(table, value_words(index)); }

struct gw_span gw_table_label(const uint8_t *table, uint16_t index) { return words(table, value_words(index) + 3); }

static int8_t signed_octet(uint8_t octet) { return (int8_t)(octet < 0x80 ? octet : octet - 0x100); }

void gw_table_shown(const uint8_t *table, uint16_t index, struct gw_shown *shown) {
  memset(shown, 0, sizeof *shown);
  shown->multiplier = 1;
  shown->unit = words(table, value_words(index) + 6);
  if (shown->unit.octets == NULL) return;
  const uint8_t *at = gw_part(table, GW_AT_WORD_PART) + value_words(index) + 9;
  shown->how = (enum gw_show)at[0];
  shown->multiplier = (int16_t)(signed_octet(at[2]) * 256 + at[1]);
  shown->decimal = signed_octet(at[3]);
  shown->binary = signed_octet(at[4]);
}

bool gw_table_choice(const uint8_t *table, uint16_t index, uint16_t nth, uint32_t *code, struct gw_span *name) {
  if (gw_header(table, GW_AT_WORD_PART) == 0) return false;
  const uint8_t *part = gw_part(table, GW_AT_WORD_PART);
  const uint8_t *entry = part + value_words(index);
  if (nth >= entry[16]) return false;
  const uint8_t *at = part + gw_u16(entry + 14) + (size_t)nth * GW_NAME_ENTRY;
  *code = gw_u32(at);
  *name = short_span(table, at + 4);
  return true;
}
