/* The packed table (docs/packed-table.md): what the generator knows of a contract, as constant octets. Reading needs no
   memory. All functions take a table that gw_table_check() has found sound. */
#ifndef GW_TABLE_H
#define GW_TABLE_H

#include "gw_types.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Octets within the table; `octets` is null when there are none. */
struct gw_span {
  const uint8_t *octets;
  uint16_t length;
};

/** What the contract says of the radio, in the units of HCI commands. */
struct gw_radio {
  uint16_t advertise_min; /* 0.625 ms */
  uint16_t advertise_max;
  uint16_t interval_min; /* 1.25 ms */
  uint16_t interval_max;
  uint16_t latency;     /* connection events */
  uint16_t timeout;     /* 10 ms */
  uint16_t mtu;         /* octets, 23..517 */
  uint16_t data_length; /* octets of a link-layer payload, 27..251 */
  uint8_t phy;          /* bit 0: 1M, bit 1: 2M, bit 2: coded; as in LE Set PHY */
  uint8_t coding;       /* of the coded PHY: 0 no preference, 1 S=2, 2 S=8; PHY_Options of LE Set PHY */
};

/** How a value is shown to people. */
enum gw_show {
  GW_SHOW_HEX,      /* as octets: nothing else is known */
  GW_SHOW_BOOLEAN,  /* off, on */
  GW_SHOW_UNSIGNED, /* a number of 1..8 octets, scaled */
  GW_SHOW_SIGNED,
  GW_SHOW_ENUM, /* names by code */
  GW_SHOW_FLAGS, /* names by bit */
  GW_SHOW_UTF8
};

/** physical = coded * multiplier * 10^decimal * 2^binary, in `unit`. */
struct gw_shown {
  enum gw_show how;
  int16_t multiplier;
  int8_t decimal;
  int8_t binary;
  struct gw_span unit;
};

/** Whether these octets are a sound table; every offset is followed once, so that no other function needs to ask. */
bool gw_table_check(const uint8_t *table, size_t size);

/** Number of values, 0..4095. */
uint16_t gw_table_values(const uint8_t *table);

/** Octets that a value may have, both inclusive. */
uint16_t gw_table_min_length(const uint8_t *table, uint16_t index);
uint16_t gw_table_max_length(const uint8_t *table, uint16_t index);

/** The value at power-up. */
struct gw_span gw_table_start(const uint8_t *table, uint16_t index);

/** Handle of the value. */
uint16_t gw_table_handle(const uint8_t *table, uint16_t index);

/** Advertising data and scan response data, 0..31 octets. */
struct gw_span gw_table_advertising(const uint8_t *table);
struct gw_span gw_table_scan_response(const uint8_t *table);

void gw_table_radio(const uint8_t *table, struct gw_radio *radio);

/** The database hash, 16 octets, least significant first, as it crosses the air. */
struct gw_span gw_table_hash(const uint8_t *table);

/* For people; all are empty in a table that was packed without its words. UTF-8, no terminator. */

/** The board's name. */
struct gw_span gw_table_name(const uint8_t *table);
struct gw_span gw_table_id(const uint8_t *table, uint16_t index);
struct gw_span gw_table_label(const uint8_t *table, uint16_t index);
void gw_table_shown(const uint8_t *table, uint16_t index, struct gw_shown *shown);
/** Name number `nth` of an enum or of flags, with its code or bit; false past the last. */
bool gw_table_choice(const uint8_t *table, uint16_t index, uint16_t nth, uint32_t *code, struct gw_span *name);

#ifdef __cplusplus
}
#endif
#endif
