#include "gw_check.h"
#include "gw_packed.h"

/* Orders in which octets are compared. */
enum { UNSIGNED, TWOS_COMPLEMENT, SIGN_AND_MAGNITUDE, IN_ENCODING = 0x80 };

/* An array under way. */
struct loop {
  const uint8_t *body;
  uint32_t next; /* where the next item begins */
  uint32_t item; /* octets */
  uint32_t left; /* items, this one included */
};

/* Whether a <= b. */
static bool not_above(const uint8_t *a, const uint8_t *b, unsigned octets, unsigned order) {
  uint8_t top_a = a[octets - 1];
  uint8_t top_b = b[octets - 1];
  if (order != UNSIGNED) {
    if (((top_a ^ top_b) & 0x80) != 0) return (top_a & 0x80) != 0;
    if (order == SIGN_AND_MAGNITUDE && (top_a & 0x80) != 0) {
      const uint8_t *swapped = a;
      a = b;
      b = swapped;
    }
  }
  for (unsigned i = octets; i-- > 0;) {
    if (a[i] != b[i]) return a[i] < b[i];
  }
  return true;
}

static bool in_ranges(const uint8_t *value, const uint8_t *ranges, uint32_t count, unsigned octets, unsigned order) {
  for (uint32_t i = 0; i < count; i++, ranges += 2 * octets) {
    if (not_above(ranges, value, octets, order) && not_above(value, ranges + octets, octets, order)) return true;
  }
  return false;
}

static int32_t sign_extended(uint32_t value, unsigned bits) {
  uint32_t sign = (uint32_t)1 << (bits - 1);
  return (int32_t)(value & (sign - 1)) - (int32_t)(value & sign);
}

/* A number of 2, 4 or 12 bits among its neighbours. */
static bool bits_in_ranges(const uint8_t *value, unsigned position, unsigned kind, const uint8_t *ranges,
                           uint32_t count) {
  unsigned bits = kind & 0x7FU;
  uint32_t window = 0;
  for (unsigned i = (position + bits + 7) / 8; i-- > 0;) window = (window << 8) | value[i];
  window = (window >> position) & (((uint32_t)1 << bits) - 1);
  int32_t number = (kind & 0x80U) != 0 ? sign_extended(window, bits) : (int32_t)window;
  for (uint32_t i = 0; i < count; i++, ranges += 4) {
    if (sign_extended(gw_u16(ranges), 16) <= number && number <= sign_extended(gw_u16(ranges + 2), 16)) return true;
  }
  return false;
}

/* An IEEE 11073 number: mantissa * 10^exponent. */
struct medfloat {
  int32_t mantissa;
  int32_t exponent;
};

enum { SHORT_MANTISSA = 2045, LONG_MANTISSA = 8388605 };

static struct medfloat medfloat_at(const uint8_t *at, bool wide) {
  struct medfloat number;
  if (wide) {
    uint32_t code = gw_u32(at);
    number.mantissa = sign_extended(code & 0xFFFFFFU, 24);
    number.exponent = sign_extended(code >> 24, 8);
  } else {
    uint32_t code = gw_u16(at);
    number.mantissa = sign_extended(code & 0xFFFU, 12);
    number.exponent = sign_extended(code >> 12, 4);
  }
  return number;
}

/* Beyond the greatest mantissa of a number there are the special values. */
static bool is_special(struct medfloat number, bool wide) {
  int32_t limit = wide ? LONG_MANTISSA : SHORT_MANTISSA;
  return number.mantissa > limit || number.mantissa < -limit;
}

/* Whether a <= b, for magnitudes: |mantissa| * 10^exponent. */
static bool magnitude_not_above(struct medfloat a, struct medfloat b) {
  uint32_t big = (uint32_t)(a.mantissa < 0 ? -a.mantissa : a.mantissa);
  uint32_t small = (uint32_t)(b.mantissa < 0 ? -b.mantissa : b.mantissa);
  if (big == 0) return true;
  if (small == 0) return false;
  for (; a.exponent > b.exponent; a.exponent--) {
    big *= 10;
    if (big > LONG_MANTISSA) return false;
  }
  for (; b.exponent > a.exponent; b.exponent--) {
    small *= 10;
    if (small > LONG_MANTISSA) return true;
  }
  return big <= small;
}

static bool medfloat_not_above(struct medfloat a, struct medfloat b) {
  if ((a.mantissa < 0) != (b.mantissa < 0)) return a.mantissa <= b.mantissa;
  return a.mantissa < 0 ? magnitude_not_above(b, a) : magnitude_not_above(a, b);
}

static bool any_outside(const uint8_t *value, const uint8_t *mask, unsigned octets) {
  unsigned outside = 0;
  for (unsigned i = 0; i < octets; i++) outside |= value[i] & ~(unsigned)mask[i];
  return outside != 0;
}

static enum gw_status run(const uint8_t *program, const uint8_t *value, uint32_t length, bool for_range) {
  struct loop loops[GW_CHECK_DEPTH];
  unsigned depth = 0;
  uint32_t at = 0;
  for (;;) {
    unsigned operation = *program++;
    unsigned n = operation >> 4;
    uint32_t octets = 0; /* that the operation looks at */
    const uint8_t *arguments = program;
    switch (operation & 15U) {
    case GW_OP_END: {
      if (depth == 0) return GW_OK;
      struct loop *loop = &loops[depth - 1];
      at = loop->next;
      loop->next += loop->item;
      if (--loop->left > 0) program = loop->body;
      else depth--;
      break;
    }
    case GW_OP_SKIP:
      at += gw_variable(&program);
      break;
    case GW_OP_ZERO: {
      uint32_t ahead = at + gw_variable(&program);
      uint8_t mask = *program++;
      if (ahead >= length) return GW_ERROR_LENGTH;
      if (!for_range && (value[ahead] & mask) != 0) return GW_ERROR_ENCODING;
      break;
    }
    case GW_OP_SIGN:
      if (at + 2 > length) return GW_ERROR_LENGTH;
      if (!for_range && (value[at + 1] >> 4) != ((value[at + 1] & 8) != 0 ? 15 : 0)) return GW_ERROR_ENCODING;
      break;
    case GW_OP_RANGES: {
      unsigned order = *program++;
      uint32_t count = gw_variable(&program);
      octets = n + 1;
      if (at + octets > length) return GW_ERROR_LENGTH;
      if (for_range == ((order & IN_ENCODING) == 0) &&
          !in_ranges(value + at, program, count, octets, order & 0x7FU)) {
        return GW_ERROR_RANGE;
      }
      program += 2 * octets * count;
      at += octets;
      break;
    }
    case GW_OP_MASK:
      octets = n + 1;
      if (at + octets > length) return GW_ERROR_LENGTH;
      if (for_range && any_outside(value + at, arguments, octets)) return GW_ERROR_RANGE;
      program += octets;
      at += octets;
      break;
    case GW_OP_BITS: {
      program += 2;
      uint32_t count = gw_variable(&program);
      if (at + (arguments[0] + (arguments[1] & 0x7FU) + 7) / 8 > length) return GW_ERROR_LENGTH;
      if (for_range && !bits_in_ranges(value + at, arguments[0], arguments[1], program, count)) return GW_ERROR_RANGE;
      program += 4 * count;
      break;
    }
    case GW_OP_MEDFLOAT: {
      bool wide = (n & 1U) != 0;
      octets = wide ? 4 : 2;
      if (at + octets > length) return GW_ERROR_LENGTH;
      struct medfloat number = medfloat_at(value + at, wide);
      bool special = is_special(number, wide);
      if (!for_range && special && number.exponent != 0) return GW_ERROR_ENCODING;
      at += octets;
      if ((n & 2U) == 0) break;
      program += 2 * octets;
      if (for_range && (special || !medfloat_not_above(medfloat_at(arguments, wide), number) ||
                        !medfloat_not_above(number, medfloat_at(arguments + octets, wide)))) {
        return GW_ERROR_RANGE;
      }
      break;
    }
    case GW_OP_UTF8:
    case GW_OP_UTF16: {
      octets = gw_variable(&program);
      if (at > length || at + octets > length) return GW_ERROR_LENGTH;
      if (octets == 0) octets = length - at;
      bool sound = (operation & 15U) == GW_OP_UTF8 ? gw_is_utf8(value + at, (uint16_t)octets)
                                                   : gw_is_utf16(value + at, (uint16_t)octets);
      if (!for_range && !sound) return GW_ERROR_ENCODING;
      at += octets;
      break;
    }
    case GW_OP_ARRAY: {
      uint32_t item = gw_variable(&program);
      uint32_t count = gw_variable(&program);
      if (at > length) return GW_ERROR_LENGTH;
      if (count == 0) {
        /* To the end: nothing stands behind it. */
        count = (length - at) / item;
        if (count * item != length - at) return GW_ERROR_LENGTH;
        if (count == 0) return GW_OK;
      }
      struct loop *loop = &loops[depth++];
      loop->body = program;
      loop->next = at + item;
      loop->item = item;
      loop->left = count;
      break;
    }
    default:
      return GW_ERROR_ENCODING; /* none that gw_table_check() lets pass */
    }
  }
}

enum gw_status gw_check_program(const uint8_t *program, const uint8_t *value, uint16_t length) {
  enum gw_status status = run(program, value, length, false);
  return status == GW_OK ? run(program, value, length, true) : status;
}

enum gw_status gw_check_value(const uint8_t *table, const uint8_t *definition, const uint8_t *value, uint16_t length) {
  if (length < gw_definition_min(definition) || length > gw_definition_max(definition)) return GW_ERROR_LENGTH;
  uint16_t program = gw_definition_check(definition);
  return program == GW_NONE16 ? GW_OK : gw_check_program(gw_pool(table, program), value, length);
}
