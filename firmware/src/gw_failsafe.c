/* Values that are due when the last client has gone. */
#include "gw_core.h"

void gw_failsafe_arm(struct gw_board *board) {
  for (uint16_t i = 0; i < gw_header(board->table, GW_AT_FAILSAFES); i++) {
    /* A deadline that is running is not put off. */
    if (gw_time(&board->failsafes[i]) != GW_NEVER) continue;
    const uint8_t *failsafe = gw_failsafe(board->table, i);
    uint64_t within = gw_u40(failsafe + 6);
    gw_set_time(&board->failsafes[i], board->now + within);
    /* 40 bits of microseconds in milliseconds, without a division of 64 bits: 2^32 = 4294967 * 1000 + 296. */
    uint32_t high = (uint32_t)(within >> 32);
    uint32_t low = (uint32_t)(within & UINT32_MAX);
    uint32_t part = low % 1000U + high * 296U + board->ms_part;
    uint32_t ms = low / 1000U + high * 4294967U + part / 1000U;
    gw_event_note(board, GW_EVENT_ARMED, 0, gw_even16(failsafe), board->ms + ms);
  }
}

void gw_failsafe_disarm(struct gw_board *board, uint16_t number) {
  uint8_t i = gw_definition_failsafe(gw_definition(board->table, number));
  if (i == GW_NONE8 || gw_time(&board->failsafes[i]) == GW_NEVER) return;
  gw_set_time(&board->failsafes[i], GW_NEVER);
  gw_event_note(board, GW_EVENT_DISARMED, 0, number, 0);
}

uint64_t gw_failsafe_run(struct gw_board *board) {
  uint64_t next = GW_NEVER;
  for (uint16_t i = 0; i < gw_header(board->table, GW_AT_FAILSAFES); i++) {
    uint64_t deadline = gw_time(&board->failsafes[i]);
    if (deadline > board->now) {
      if (deadline < next) next = deadline;
      continue;
    }
    const uint8_t *failsafe = gw_failsafe(board->table, i);
    gw_set_time(&board->failsafes[i], GW_NEVER);
    gw_take(board, gw_even16(failsafe), gw_pool(board->table, gw_even16(failsafe + 2)), gw_even16(failsafe + 4), GW_FAILSAFE);
  }
  return next;
}
