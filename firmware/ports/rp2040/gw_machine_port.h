/* The RP2040 port: H4 on UART0 (GPIO 0 and 1, 1 Mbit/s), the console on UART1 (GPIO 4 and 5, 115200 bit/s). */
#ifndef GW_MACHINE_PORT_H
#define GW_MACHINE_PORT_H

#include "ring.h"

struct gw_machine {
  struct ring radio;   /* from the controller */
  struct ring typed;   /* from the console */
  struct ring printed; /* for the console */
};

#endif
