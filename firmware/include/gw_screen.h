/* The whole server as text for any character display (docs/console.md, The screen). */
#ifndef GW_SCREEN_H
#define GW_SCREEN_H

#include "gw_board.h"
#include "gw_out.h"

#ifdef __cplusplus
extern "C" {
#endif

struct gw_screen {
  uint16_t columns; /* 20..200 */
  uint16_t rows;    /* 4..100 */
  uint16_t page;    /* from 1; one past the last shows the last */
};

/** Draws one row: exactly `columns` characters, without a line end.
    @param row from 0, below `rows` */
void gw_screen_row(struct gw_board *board, const struct gw_screen *screen, uint16_t row, struct gw_out *out);

#ifdef __cplusplus
}
#endif
#endif
