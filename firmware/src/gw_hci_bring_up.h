/* What makes a controller ready, step by step. */
#ifndef GW_HCI_BRING_UP_H
#define GW_HCI_BRING_UP_H

#include "gw_host.h"

/** Opcode of the step under way, steps that this controller or application does without left out; 0: all are done. */
uint16_t gw_bring_up_next(struct gw_host *host);
/** Fills in a command's parameters. @param parameters room for 32 octets @return how many there are */
uint8_t gw_bring_up_fill(struct gw_host *host, uint8_t *parameters);
/** Takes the answer to the step under way. @return false: the controller cannot be used */
bool gw_bring_up_answered(struct gw_host *host, const uint8_t *returns, uint8_t length);

#endif
