/* The ring of events. A record lies in one piece: u16 octets, kind, detail, u32 ms, u32 number, u16 index, then octets of
   its own. One that does not fit before the end of the ring begins at its start. */
#include "gw_core.h"
#include "gw_memory.h"

#if GW_EVENT_OCTETS > 0

enum { RECORD_HEADER = 14 };

/* Where a record of so many octets may begin; null when there is no room. */
static uint8_t *room_for(struct gw_board *board, unsigned octets) {
  if (board->event_head == board->event_tail) {
    board->event_head = 0;
    board->event_tail = 0;
  }
  if (board->event_tail >= board->event_head) {
    if ((unsigned)board->event_room - board->event_tail >= octets) return board->events + board->event_tail;
    if (board->event_head <= octets) return NULL;
    board->event_end = board->event_tail;
    board->event_tail = 0;
    return board->events;
  }
  if ((unsigned)board->event_head - board->event_tail <= octets) return NULL;
  return board->events + board->event_tail;
}

static bool put(struct gw_board *board, const struct gw_note *note) {
  unsigned octets = RECORD_HEADER + (unsigned)note->length;
  uint8_t *record = room_for(board, octets);
  if (record == NULL) return false;
  gw_put16(record, (uint16_t)octets);
  record[2] = (uint8_t)note->kind;
  record[3] = note->detail;
  gw_put32(record + 4, board->ms);
  gw_put32(record + 8, note->number);
  gw_put16(record + 12, note->index);
  if (note->length > 0) memcpy(record + RECORD_HEADER, note->octets, note->length);
  board->event_tail = (uint16_t)(board->event_tail + octets);
  return true;
}

void gw_event_put(struct gw_board *board, const struct gw_note *note) {
  if (board->lost > 0) {
    /* The gap is told of where it is. */
    struct gw_note gap = {GW_EVENT_LOST, 0, 0, board->lost, NULL, 0};
    if (put(board, &gap)) board->lost = 0;
  }
  if (board->lost > 0 || !put(board, note)) board->lost++;
}

/* Power-up and the start values are not kept: they are in the table. */
static bool start_event(struct gw_board *board, struct gw_event *event) {
  if (board->told > gw_table_values(board->table)) return false;
  event->kind = board->told == 0 ? GW_EVENT_START : GW_EVENT_TELL;
  if (board->told > 0) {
    event->index = (uint16_t)(board->told - 1);
    struct gw_span start = gw_table_start(board->table, event->index);
    event->value = start.octets;
    event->length = start.length;
    event->cause = GW_START;
  }
  board->told++;
  return true;
}

static void read_record(const uint8_t *record, struct gw_event *event) {
  event->kind = (enum gw_event_kind)record[2];
  event->detail = record[3];
  event->ms = gw_u32(record + 4);
  event->number = gw_u32(record + 8);
  event->client = event->number;
  event->index = gw_u16(record + 12);
  if (event->kind == GW_EVENT_TELL) {
    event->cause = (enum gw_cause)record[3];
    event->value = record + RECORD_HEADER;
    event->length = (uint16_t)(gw_u16(record) - RECORD_HEADER);
  } else if (event->kind == GW_EVENT_CONNECTED) {
    memcpy(&event->peer, record + RECORD_HEADER, sizeof event->peer);
  }
}

bool gw_board_next_event(struct gw_board *board, struct gw_event *event) {
  memset(event, 0, sizeof *event);
  if (start_event(board, event)) return true;
  gw_lock(board);
  /* The record handed out last is free now. */
  board->event_head = (uint16_t)(board->event_head + board->event_held);
  board->event_held = 0;
  if (board->event_head > board->event_tail && board->event_head == board->event_end) board->event_head = 0;
  bool found = board->event_head != board->event_tail;
  if (found) {
    const uint8_t *record = board->events + board->event_head;
    board->event_held = gw_u16(record);
    read_record(record, event);
  } else if (board->lost > 0) {
    event->kind = GW_EVENT_LOST;
    event->ms = board->ms;
    event->number = board->lost;
    board->lost = 0;
    found = true;
  }
  gw_unlock(board);
  return found;
}

#else

bool gw_board_next_event(struct gw_board *board, struct gw_event *event) {
  (void)board, (void)event;
  return false;
}

#endif
