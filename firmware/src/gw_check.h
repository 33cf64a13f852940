/* Whether octets may be a value. */
#ifndef GW_CHECK_H
#define GW_CHECK_H

#include "gw_types.h"

/** Runs a check program over a value whose length is right, first for its encoding, then for what the contract allows.
    @return GW_OK, GW_ERROR_LENGTH, GW_ERROR_ENCODING or GW_ERROR_RANGE */
enum gw_status gw_check_program(const uint8_t *program, const uint8_t *value, uint16_t length);

/** Length, then program, of a definition. */
enum gw_status gw_check_value(const uint8_t *table, const uint8_t *definition, const uint8_t *value, uint16_t length);

/** Well-formed UTF-8, RFC 3629 section 4: no overlong form, surrogate, or number above U+10FFFF. */
bool gw_is_utf8(const uint8_t *text, uint16_t length);

/** Whole UTF-16 units, least significant octet first, without lone surrogates. */
bool gw_is_utf16(const uint8_t *text, uint16_t length);

#endif
