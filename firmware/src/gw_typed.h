/* What a person types for a value, as octets; integers only. */
#ifndef GW_TYPED_H
#define GW_TYPED_H

#include "gw_table.h"
#include "gw_words.h"

enum gw_typed {
  GW_TYPED_OK,
  GW_TYPED_TYPE,   /* no value of this type */
  GW_TYPED_RANGE,  /* beyond what the octets hold */
  GW_TYPED_UNKNOWN /* no form that is known here; octets can be typed */
};

/** Reads a number, a name, names with commas, `on` or `off`. Not for texts, which are their own octets. A number becomes
    the nearest code, half to even, before anybody asks whether that is allowed.
    @param value at least 8 octets, least significant first
    @param length octets of the value */
enum gw_typed gw_typed_value(const uint8_t *table, uint16_t index, const struct gw_words *text, uint8_t *value,
                             uint16_t length);

#endif
