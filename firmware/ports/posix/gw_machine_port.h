/* The POSIX port: the controller and the console are file descriptors. */
#ifndef GW_MACHINE_PORT_H
#define GW_MACHINE_PORT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** A stream; -1: not there, or ended. */
struct gw_stream {
  int in;
  int out;
};

/** Virtual time in lock step with another process (ports/posix/README.md). */
struct gw_lockstep {
  struct gw_stream stream;
  uint64_t now; /* microseconds */
  uint8_t kind; /* of the frame under way */
  uint16_t at;
  uint16_t length;
  uint8_t octets[4096];
  size_t buffered;
  uint8_t buffer[8192];
};

struct gw_machine {
  struct gw_stream radio;
  struct gw_stream console;
  bool has_radio;
  bool has_address;
  bool in_lockstep;
  uint8_t address[6];
  struct gw_lockstep lockstep;
};

#endif
