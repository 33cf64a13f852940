/* The lines that a console prints, each without its end. */
#ifndef GW_CONSOLE_LINE_H
#define GW_CONSOLE_LINE_H

#include "gw_console.h"

/** A `tell` or `note` line. */
void gw_line_event(const uint8_t *table, const struct gw_event *event, struct gw_out *out);

/** A `value` line. @param scratch room for the longest value */
void gw_line_value(struct gw_board *board, uint16_t index, uint8_t *scratch, uint16_t room, struct gw_out *out);

/** A `client` line. */
void gw_line_client(const struct gw_board *board, gw_connection connection, const struct gw_client *client,
                    struct gw_out *out);

void gw_line_hash(const uint8_t *table, struct gw_out *out);

/** The database hash, most significant octet first. */
void gw_line_specification(const uint8_t *table, struct gw_out *out);

#endif
