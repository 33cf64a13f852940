#include "lockstep.h"

#include <string.h>

#include "gw_value.h"
#include "stream.h"

/** Kind and length. */
#define HEAD 3u

/** The most that one frame to the other process carries. */
#define MOST 4096u

void lockstep_init(struct gw_lockstep *lockstep) {
  lockstep->now = 0;
  lockstep->kind = LOCKSTEP_TICK;
  lockstep->at = 0;
  lockstep->length = 0;
  lockstep->buffered = 0;
}

size_t lockstep_read(struct gw_lockstep *lockstep, uint8_t kind, uint8_t *octets, size_t room) {
  size_t rest = (size_t)(lockstep->length - lockstep->at);
  if (lockstep->kind != kind) return 0;
  if (rest > room) rest = room;
  memcpy(octets, lockstep->octets + lockstep->at, rest);
  lockstep->at = (uint16_t)(lockstep->at + rest);
  return rest;
}

static void flush(struct gw_lockstep *lockstep) {
  stream_write(&lockstep->stream, lockstep->buffer, lockstep->buffered);
  lockstep->buffered = 0;
}

void lockstep_write(struct gw_lockstep *lockstep, uint8_t kind, const uint8_t *octets, size_t length) {
  while (length > 0) {
    size_t part = length > MOST ? MOST : length;
    if (lockstep->buffered + HEAD + part > sizeof lockstep->buffer) flush(lockstep);
    lockstep->buffer[lockstep->buffered] = kind;
    gw_put_le(lockstep->buffer + lockstep->buffered + 1, 2, (uint32_t)part);
    memcpy(lockstep->buffer + lockstep->buffered + HEAD, octets, part);
    lockstep->buffered += HEAD + part;
    octets += part;
    length -= part;
  }
}

bool lockstep_wait(struct gw_lockstep *lockstep, uint32_t micros) {
  uint8_t wake[4];
  uint8_t head[11];
  if (lockstep->at < lockstep->length) return true; /* the console has not taken all that was typed */
  gw_put_le(wake, 4, micros);
  lockstep_write(lockstep, LOCKSTEP_TICK, wake, sizeof wake);
  flush(lockstep);
  if (!stream_read_all(&lockstep->stream, head, sizeof head)) return false;
  lockstep->kind = head[0];
  lockstep->now = gw_get_le64(head + 1, 8);
  lockstep->length = (uint16_t)gw_get_le(head + 9, 2);
  lockstep->at = 0;
  if (lockstep->length > sizeof lockstep->octets) return false;
  return stream_read_all(&lockstep->stream, lockstep->octets, lockstep->length);
}
