/* What the main loop needs of a chip or an operating system: the few functions that a port gives. A port for another chip
   is a folder with these functions, and with a gw_machine_port.h that completes `struct gw_machine`.

   All are called from the main loop. None may wait, but for gw_machine_wait, and for what is printed or sent when the
   buffer behind it is full. */
#ifndef GW_MACHINE_H
#define GW_MACHINE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "gw_machine_port.h"

#ifdef __cplusplus
extern "C" {
#endif

/** Opens the radio's and the console's streams and starts the clock. The arguments are those of main.
    @return false when it cannot, after saying why where that can be said */
bool gw_machine_open(struct gw_machine *machine, int argc, char **argv);

/** A free-running clock, microseconds modulo 2^32. `machine` is a struct gw_machine; so for the other void pointers. */
uint32_t gw_machine_micros(void *machine);

/** The board's random static address, least significant octet first; its upper two bits are 1.
    @return false when the machine has none of its own */
bool gw_machine_address(struct gw_machine *machine, uint8_t address[6]);

/** Octets from the controller (H4), at most `room`. @return how many; 0 when none are there */
size_t gw_machine_radio_read(struct gw_machine *machine, uint8_t *octets, size_t room);

/** Octets for the controller. @return false: no room now, and none was taken */
bool gw_machine_radio_send(void *machine, const uint8_t *octets, size_t length);

/** Octets typed on the console, at most `room`; 0 when there are none, or no console. */
size_t gw_machine_console_read(struct gw_machine *machine, uint8_t *octets, size_t room);

/** Prints on the console. */
void gw_machine_console_print(void *machine, const uint8_t *octets, size_t length);

/** Whether a line of so many octets can be printed without waiting, or is longer than ever could. */
bool gw_machine_console_ready(void *machine, uint32_t octets);

/** Sleeps until octets arrive or the time is up; UINT32_MAX: until octets arrive. It may return early.
    @return false when the streams have ended, which on a chip they never do */
bool gw_machine_wait(struct gw_machine *machine, uint32_t micros);

#ifdef __cplusplus
}
#endif
#endif
