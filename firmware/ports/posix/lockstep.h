/* Virtual time in lock step with another process. */
#ifndef LOCKSTEP_H
#define LOCKSTEP_H

#include "gw_machine_port.h"

enum { LOCKSTEP_TICK, LOCKSTEP_RADIO, LOCKSTEP_CONSOLE };

void lockstep_init(struct gw_lockstep *lockstep);

/** Octets of the frame under way, if it is of this kind. */
size_t lockstep_read(struct gw_lockstep *lockstep, uint8_t kind, uint8_t *octets, size_t room);

/** Frames of this kind, as many as it takes. */
void lockstep_write(struct gw_lockstep *lockstep, uint8_t kind, const uint8_t *octets, size_t length);

/** Says that nothing is left to do before `micros` have passed, and waits for the next frame.
    @return false when the other process has gone */
bool lockstep_wait(struct gw_lockstep *lockstep, uint32_t micros);

#endif
