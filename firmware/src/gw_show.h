/* Values as people read and type them, in integers only. What has no form here is shown and typed as octets. */
#ifndef GW_SHOW_H
#define GW_SHOW_H

#include "gw_out.h"
#include "gw_table.h"

/** Whether gw_show has a form for this value: all but structs, arrays, octets, floats, UTF-16, and numbers that take
    more than 64 bits or 15 digits. */
bool gw_show_has(const uint8_t *table, uint16_t index, const uint8_t *value, uint16_t length);

/** The value with its unit: `0.5 Hz`, `fluorescein`, `true`. A text is itself, or in quotes with the escapes of JSON. */
void gw_show(const uint8_t *table, uint16_t index, const uint8_t *value, uint16_t length, bool quotes,
             struct gw_out *out);

#endif
