/* Values between their octets, least significant first, and C; decimal scaling. Integers only. */
#ifndef GW_VALUE_H
#define GW_VALUE_H

#include <stdint.h>

#ifdef __cplusplus
extern "C" {
#endif

/** Writes the lowest `count` octets of a number, 1..4. */
void gw_put_le(uint8_t *octets, uint8_t count, uint32_t value);
/** 1..8 octets. */
void gw_put_le64(uint8_t *octets, uint8_t count, uint64_t value);

uint32_t gw_get_le(const uint8_t *octets, uint8_t count);
uint64_t gw_get_le64(const uint8_t *octets, uint8_t count);
/** Two's complement of `count` octets. */
int32_t gw_get_signed_le(const uint8_t *octets, uint8_t count);
int64_t gw_get_signed_le64(const uint8_t *octets, uint8_t count);

/** Numbers that share octets with their neighbours: `bits`, 1..24, from bit `first`, 0..7, of the first octet. Other
    bits stay as they are. */
void gw_put_bits(uint8_t *octets, uint8_t first, uint8_t bits, uint32_t value);
uint32_t gw_get_bits(const uint8_t *octets, uint8_t first, uint8_t bits);
int32_t gw_get_signed_bits(const uint8_t *octets, uint8_t first, uint8_t bits);

/** value * factor / divisor, to the nearest, half to even. The product must fit 32 (64) bits, the divisor be above 0. */
int32_t gw_scale(int32_t value, int32_t factor, int32_t divisor);
int64_t gw_scale64(int64_t value, int64_t factor, int64_t divisor);

/** A medical float (IEEE 11073-20601) from its two parts: mantissa * 10^exponent. Parts too large are cut: see the
    standard's limits, +-(2^11 - 3) and -8..7, +-(2^23 - 3) and -128..127. */
uint16_t gw_medfloat16(int16_t mantissa, int8_t exponent);
uint32_t gw_medfloat32(int32_t mantissa, int8_t exponent);

#ifdef __cplusplus
}
#endif
#endif
