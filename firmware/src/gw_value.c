#include "gw_value.h"

void gw_put_le(uint8_t *octets, uint8_t count, uint32_t value) {
  uint8_t i;
  for (i = 0; i < count; i++) octets[i] = (uint8_t)(value >> (8 * i) & 0xFFu);
}

void gw_put_le64(uint8_t *octets, uint8_t count, uint64_t value) {
  uint8_t i;
  for (i = 0; i < count; i++) octets[i] = (uint8_t)(value >> (8 * i) & 0xFFu);
}

uint32_t gw_get_le(const uint8_t *octets, uint8_t count) {
  uint32_t value = 0;
  for (; count > 0; count--) value = value << 8 | octets[count - 1];
  return value;
}

uint64_t gw_get_le64(const uint8_t *octets, uint8_t count) {
  uint64_t value = 0;
  for (; count > 0; count--) value = value << 8 | octets[count - 1];
  return value;
}

/** The number whose two's complement in `bits` bits is `value`. */
static int32_t signed_of(uint32_t value, uint8_t bits) {
  uint32_t top = UINT32_C(1) << (bits - 1);
  uint32_t low = value & (top - 1);
  if ((value & top) == 0) return (int32_t)low;
  return (int32_t)low - (int32_t)(top - 1) - 1;
}

int32_t gw_get_signed_le(const uint8_t *octets, uint8_t count) {
  return signed_of(gw_get_le(octets, count), (uint8_t)(8 * count));
}

int64_t gw_get_signed_le64(const uint8_t *octets, uint8_t count) {
  uint64_t value = gw_get_le64(octets, count);
  uint64_t top = UINT64_C(1) << (8 * count - 1);
  uint64_t low = value & (top - 1);
  if ((value & top) == 0) return (int64_t)low;
  return (int64_t)low - (int64_t)(top - 1) - 1;
}

void gw_put_bits(uint8_t *octets, uint8_t first, uint8_t bits, uint32_t value) {
  uint8_t i;
  for (i = 0; i < bits; i++) {
    uint8_t at = (uint8_t)(first + i);
    uint8_t mask = (uint8_t)(1u << (at & 7u));
    uint8_t old = octets[at >> 3];
    octets[at >> 3] = (value >> i & 1u) != 0 ? (uint8_t)(old | mask) : (uint8_t)(old & (0xFFu ^ mask));
  }
}

uint32_t gw_get_bits(const uint8_t *octets, uint8_t first, uint8_t bits) {
  uint32_t value = 0;
  uint8_t i;
  for (i = 0; i < bits; i++) {
    uint8_t at = (uint8_t)(first + i);
    value |= ((uint32_t)octets[at >> 3] >> (at & 7u) & 1u) << i;
  }
  return value;
}

int32_t gw_get_signed_bits(const uint8_t *octets, uint8_t first, uint8_t bits) {
  return signed_of(gw_get_bits(octets, first, bits), bits);
}

int32_t gw_scale(int32_t value, int32_t factor, int32_t divisor) {
  int32_t product = value * factor;
  int32_t quotient = product / divisor;
  int32_t rest = product % divisor;
  int32_t size = rest < 0 ? -rest : rest;
  if (size > divisor - size || (size == divisor - size && quotient % 2 != 0)) quotient += product < 0 ? -1 : 1;
  return quotient;
}

int64_t gw_scale64(int64_t value, int64_t factor, int64_t divisor) {
  int64_t product = value * factor;
  int64_t quotient = product / divisor;
  int64_t rest = product % divisor;
  int64_t size = rest < 0 ? -rest : rest;
  if (size > divisor - size || (size == divisor - size && quotient % 2 != 0)) quotient += product < 0 ? -1 : 1;
  return quotient;
}

uint16_t gw_medfloat16(int16_t mantissa, int8_t exponent) {
  return (uint16_t)(((uint32_t)exponent & 0xFu) << 12 | ((uint32_t)mantissa & 0xFFFu));
}

uint32_t gw_medfloat32(int32_t mantissa, int8_t exponent) {
  return ((uint32_t)exponent & 0xFFu) << 24 | ((uint32_t)mantissa & 0xFFFFFFu);
}
