/* The micro:bit port (nRF51): its one UART carries H4 at 115200 bit/s, to the USB side or to a controller on the edge
   connector. There is no second UART, so there is no console: build with <BOARD>_CONSOLE=0. */
#ifndef GW_MACHINE_PORT_H
#define GW_MACHINE_PORT_H

#include "ring.h"

struct gw_machine {
  struct ring radio;
};

#endif
