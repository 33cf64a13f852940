#define _POSIX_C_SOURCE 200809L

#include "gw_machine.h"

#include <poll.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "lockstep.h"
#include "stream.h"

static const char usage[] =
    "options:\n"
    "  --hci STREAM       the controller, H4; default none\n"
    "  --console STREAM   the console; default stdio, or none when --hci has it\n"
    "  --address ADDRESS  random static address, as C0:11:22:33:44:55\n"
    "  --lockstep STREAM  virtual time in lock step with another process; in place of the others\n"
    "STREAM: none, stdio, fd:IN,OUT, unix:PATH (connects), listen:PATH (waits), or a device as PATH or PATH@BAUD\n";

/** Reads an address as people write it, most significant octet first. */
static bool read_address(const char *text, uint8_t address[6]) {
  unsigned octets[6];
  char rest;
  int i;
  if (sscanf(text, "%2x:%2x:%2x:%2x:%2x:%2x%c", &octets[0], &octets[1], &octets[2], &octets[3], &octets[4], &octets[5],
             &rest) != 6) {
    return false;
  }
  for (i = 0; i < 6; i++) address[i] = (uint8_t)octets[5 - i];
  return (address[5] & 0xC0u) == 0xC0u;
}

static bool refuse(const char *what) {
  (void)fprintf(stderr, "%s\n%s", what, usage);
  return false;
}

bool gw_machine_open(struct gw_machine *machine, int argc, char **argv) {
  const char *radio = "none";
  const char *console = NULL;
  int i;
  memset(machine, 0, sizeof *machine);
  lockstep_init(&machine->lockstep);
  for (i = 1; i + 1 < argc; i += 2) {
    if (strcmp(argv[i], "--hci") == 0) {
      radio = argv[i + 1];
    } else if (strcmp(argv[i], "--console") == 0) {
      console = argv[i + 1];
    } else if (strcmp(argv[i], "--address") == 0) {
      if (!read_address(argv[i + 1], machine->address)) return refuse("a random static address is C0:… to FF:…");
      machine->has_address = true;
    } else if (strcmp(argv[i], "--lockstep") == 0) {
      machine->in_lockstep = true;
      if (!stream_open(&machine->lockstep.stream, argv[i + 1])) return false;
    } else {
      return refuse("unknown option");
    }
  }
  if (i < argc) return refuse(strcmp(argv[i], "--help") == 0 ? "a board in a process" : "an option without its value");
  (void)signal(SIGPIPE, SIG_IGN);
  machine->has_radio = strcmp(radio, "none") != 0;
  if (console == NULL) console = strcmp(radio, "stdio") == 0 ? "none" : "stdio";
  if (machine->in_lockstep) console = radio = "none";
  return stream_open(&machine->radio, radio) && stream_open(&machine->console, console);
}

uint32_t gw_machine_micros(void *user) {
  const struct gw_machine *machine = (const struct gw_machine *)user;
  struct timespec now;
  if (machine->in_lockstep) return (uint32_t)(machine->lockstep.now & UINT32_MAX);
  (void)clock_gettime(CLOCK_MONOTONIC, &now);
  return (uint32_t)(((uint64_t)now.tv_sec * 1000000u + (uint64_t)now.tv_nsec / 1000u) & UINT32_MAX);
}

bool gw_machine_address(struct gw_machine *machine, uint8_t address[6]) {
  if (machine->has_address) memcpy(address, machine->address, 6);
  return machine->has_address;
}

size_t gw_machine_radio_read(struct gw_machine *machine, uint8_t *octets, size_t room) {
  if (machine->in_lockstep) return lockstep_read(&machine->lockstep, LOCKSTEP_RADIO, octets, room);
  return stream_read(&machine->radio, octets, room);
}

bool gw_machine_radio_send(void *user, const uint8_t *octets, size_t length) {
  struct gw_machine *machine = (struct gw_machine *)user;
  if (machine->in_lockstep) {
    lockstep_write(&machine->lockstep, LOCKSTEP_RADIO, octets, length);
  } else {
    stream_write(&machine->radio, octets, length);
  }
  return true;
}

size_t gw_machine_console_read(struct gw_machine *machine, uint8_t *octets, size_t room) {
  if (machine->in_lockstep) return lockstep_read(&machine->lockstep, LOCKSTEP_CONSOLE, octets, room);
  return stream_read(&machine->console, octets, room);
}

void gw_machine_console_print(void *user, const uint8_t *octets, size_t length) {
  struct gw_machine *machine = (struct gw_machine *)user;
  if (machine->in_lockstep) {
    lockstep_write(&machine->lockstep, LOCKSTEP_CONSOLE, octets, length);
  } else {
    stream_write(&machine->console, octets, length);
  }
}

bool gw_machine_console_ready(void *user, uint32_t octets) {
  const struct gw_machine *machine = (const struct gw_machine *)user;
  (void)octets;
  return machine->in_lockstep || machine->console.out < 0 || stream_writable(&machine->console);
}

static int milliseconds(uint32_t micros) {
  if (micros == UINT32_MAX) return -1;
  return (int)(micros / 1000u + (micros % 1000u > 0 ? 1u : 0u));
}

bool gw_machine_wait(struct gw_machine *machine, uint32_t micros) {
  struct pollfd streams[2];
  if (machine->in_lockstep) return lockstep_wait(&machine->lockstep, micros);
  if (machine->has_radio ? machine->radio.in < 0 : machine->console.in < 0) return false;
  streams[0].fd = machine->radio.in;
  streams[0].events = POLLIN;
  streams[1].fd = machine->console.in;
  streams[1].events = POLLIN;
  (void)poll(streams, 2, milliseconds(micros));
  return true;
}
