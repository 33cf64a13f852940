/* Little-endian numbers in octets, at any alignment. */
#ifndef GW_LE_H
#define GW_LE_H

#include <stdint.h>

#include "gw_memory.h"

static inline uint16_t gw_u16(const uint8_t *at) { return (uint16_t)(at[0] | ((unsigned)at[1] << 8)); }

/** The same at an even address: one load where the compiler can be told and the machine has this order. */
static inline uint16_t gw_even16(const uint8_t *at) {
#if defined(__GNUC__) && defined(__BYTE_ORDER__) && __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__
  uint16_t value;
  memcpy(&value, __builtin_assume_aligned(at, 2), sizeof value);
  return value;
#else
  return gw_u16(at);
#endif
}

static inline uint32_t gw_u32(const uint8_t *at) { return gw_u16(at) | ((uint32_t)gw_u16(at + 2) << 16); }

static inline uint64_t gw_u40(const uint8_t *at) { return gw_u32(at) | ((uint64_t)at[4] << 32); }

static inline void gw_put16(uint8_t *at, uint16_t value) {
  at[0] = (uint8_t)(value & 0xFFU);
  at[1] = (uint8_t)(value >> 8);
}

static inline void gw_put32(uint8_t *at, uint32_t value) {
  gw_put16(at, (uint16_t)(value & 0xFFFFU));
  gw_put16(at + 2, (uint16_t)(value >> 16));
}

#endif
