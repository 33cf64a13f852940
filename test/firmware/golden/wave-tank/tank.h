/* gattwright 0.0.0 made this file from contract.yaml; change the contract, not this file. hash c33c4271f0cbac97 */
#ifndef TANK_H
#define TANK_H

#include "gw_board.h"
#include "gw_host.h"
#include "gw_machine.h"

#ifndef TANK_CONSOLE
#define TANK_CONSOLE 1 /* 0: no console, for a chip with one serial port */
#endif
#if TANK_CONSOLE
#include "gw_console.h"
#endif

#ifdef __cplusplus
extern "C" {
#endif

/* Tank 01: its values, as the contract says. Raw values are the codes that cross the air; all numbers are integers.
   Call everything here from the main loop only, never from an interrupt. */

#define TANK_TABLE_SIZE 1887u
extern const uint8_t tank_table[TANK_TABLE_SIZE];

/* Memory of the values, connections and events; grows with GW_CONNECTIONS and GW_EVENT_OCTETS. */
#define TANK_MEMORY_OCTETS (587u + 121u * GW_CONNECTIONS + (GW_EVENT_OCTETS > 0 ? GW_EVENT_OCTETS + 92u : 0u))
#define TANK_MEMORY_WORDS ((TANK_MEMORY_OCTETS + 3u) / 4u)
#define TANK_HOST_OCTETS GW_HOST_MEMORY(185u)
#define TANK_LINE_OCTETS 160u /* the longest line on the console */
#define TANK_VALUES 13u

/* The random static address where the machine has none of its own, least significant octet first: C8:1F:09:56:AC:79.
   It follows from the board's name and unit. */
#define TANK_ADDRESS {0x79, 0xAC, 0x56, 0x09, 0x1F, 0xC8}

/* Battery Level, percentage: uint8. Contract line 19; handle 0x0014; clients read, notify.
   Raw 0 to 100: 0 to 100 %.
   Starts as 0 %. */
#define TANK_BATTERY_LEVEL UINT16_C(0)
#define TANK_BATTERY_LEVEL_SIZE 1u
#define TANK_BATTERY_LEVEL_MIN UINT8_C(0)
#define TANK_BATTERY_LEVEL_MAX UINT8_C(100)
#define TANK_BATTERY_LEVEL_START UINT8_C(0)

/* Manufacturer Name String: utf8. Contract line 9; handle 0x001A; clients read.
   Starts as "Tideworks Bench". */
#define TANK_MANUFACTURER_NAME_STRING UINT16_C(1)
#define TANK_MANUFACTURER_NAME_STRING_MIN_SIZE 0u
#define TANK_MANUFACTURER_NAME_STRING_MAX_SIZE 15u

/* Model Number String: utf8. Contract line 10; handle 0x001C; clients read.
   Starts as "Desk wave tank". */
#define TANK_MODEL_NUMBER_STRING UINT16_C(2)
#define TANK_MODEL_NUMBER_STRING_MIN_SIZE 0u
#define TANK_MODEL_NUMBER_STRING_MAX_SIZE 14u

/* Firmware Revision String: utf8. Contract line 11; handle 0x001E; clients read.
   Starts as "1.0". */
#define TANK_FIRMWARE_REVISION_STRING UINT16_C(3)
#define TANK_FIRMWARE_REVISION_STRING_MIN_SIZE 0u
#define TANK_FIRMWARE_REVISION_STRING_MAX_SIZE 3u

/* Crests counted, unitless: uint32. Contract line 25; handle 0x0021; clients read, notify.
   Raw 0 to 4294967295: 0 to 4294967295.
   Starts as 0. */
#define TANK_CRESTS UINT16_C(4)
#define TANK_CRESTS_SIZE 4u
#define TANK_CRESTS_MIN UINT32_C(0)
#define TANK_CRESTS_MAX UINT32_C(4294967295)
#define TANK_CRESTS_START UINT32_C(0)

/* Paddle frequency, hertz: uint16. Contract line 31; handle 0x0026; clients read, write.
   Raw 0 to 400, one step is 0.01 Hz: 0 to 4 Hz.
   Starts as 0.5 Hz.
   When the last client has gone it becomes 0 Hz after 2000 ms.
   It acts on the world: limits and stops belong in hardware. */
#define TANK_PADDLE UINT16_C(5)
#define TANK_PADDLE_SIZE 2u
#define TANK_PADDLE_MIN UINT16_C(0)
#define TANK_PADDLE_MAX UINT16_C(400)
#define TANK_PADDLE_START UINT16_C(50)

/* Water level at the gauge, metre: sint16. Contract line 48; handle 0x002B; clients read, notify.
   Raw -2500 to 2500, one step is 0.0001 m: -0.25 to 0.25 m.
   Starts as 0 m. */
#define TANK_LEVEL UINT16_C(6)
#define TANK_LEVEL_SIZE 2u
#define TANK_LEVEL_MIN (-INT16_C(2500))
#define TANK_LEVEL_MAX INT16_C(2500)
#define TANK_LEVEL_START INT16_C(0)

/* Water temperature, degree celsius: sint16. Contract line 57; handle 0x0031; clients read, notify.
   Raw -27315 to 32767, one step is 0.01 °C: -273.15 to 327.67 °C. -32768 stands for unknown.
   Starts as 0 °C. */
#define TANK_WATER UINT16_C(7)
#define TANK_WATER_SIZE 2u
#define TANK_WATER_MIN (-INT16_C(27315))
#define TANK_WATER_MAX INT16_C(32767)
#define TANK_WATER_START INT16_C(0)
#define TANK_WATER_UNKNOWN (-INT16_C(32768))

/* Work light: boolean. Contract line 66; handle 0x0038; clients read, write.
   Starts as false. */
#define TANK_LIGHT UINT16_C(8)
#define TANK_LIGHT_SIZE 1u

/* Dye: enum uint8. Contract line 73; handle 0x003C; clients read, write.
   Starts as none. */
#define TANK_DYE UINT16_C(9)
#define TANK_DYE_SIZE 1u

enum tank_dye {
  TANK_DYE_NONE = 0, /* none */
  TANK_DYE_FLUORESCEIN = 1, /* fluorescein */
  TANK_DYE_RHODAMINE = 2 /* rhodamine */
};

/* Caption on the display: utf8. Contract line 78; handle 0x0040; clients write.
   Starts as "". */
#define TANK_CAPTION UINT16_C(10)
#define TANK_CAPTION_MIN_SIZE 0u
#define TANK_CAPTION_MAX_SIZE 60u

/* Note from the board: utf8. Contract line 84; handle 0x0044; clients read, notify.
   Starts as "ready". */
#define TANK_NOTE UINT16_C(11)
#define TANK_NOTE_MIN_SIZE 0u
#define TANK_NOTE_MAX_SIZE 40u

/* Gauge calibration: struct of 3. Contract line 98; handle 0x004A; clients read, write.
   Starts as gain 1, offset 0 m, points 2.
   A link must be encrypted to read it, encrypted to write it. */
#define TANK_CALIBRATION UINT16_C(12)
#define TANK_CALIBRATION_SIZE 5u

struct tank_calibration {
  /* Gain.
     Raw 5000 to 20000, one step is 0.0001: 0.5 to 2. */
  int16_t gain;
  /* Offset, metre.
     Raw -5000 to 5000, one step is 0.00001 m: -0.05 to 0.05 m. */
  int16_t offset;
  /* Points used.
     Raw 1 to 16: 1 to 16. */
  uint8_t points;
};

/* Everything of one board; the caller owns it. */
struct tank {
  struct gw_board board;
  struct gw_host host;
  struct gw_machine *machine;
#if TANK_CONSOLE
  struct gw_console console;
  uint8_t line[TANK_LINE_OCTETS];
#endif
  uint32_t memory[TANK_MEMORY_WORDS];
  uint8_t frames[TANK_HOST_OCTETS];
};

/* Powers the board up on a machine that is open. Returns GW_OK, or why it cannot be. */
enum gw_status tank_init(struct tank *board, struct gw_machine *machine);

/* Takes what has arrived, does what is due, calls the handlers. Returns the microseconds until it next wants to run;
   UINT32_MAX: not before something arrives. Call it again after changing values. */
uint32_t tank_poll(struct tank *board);

/* battery-level */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_battery_level(struct tank *board, uint8_t value);
/* The value now. */
uint8_t tank_get_battery_level(struct tank *board);

/* manufacturer-name-string */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_manufacturer_name_string(struct tank *board, const char *value, uint16_t length);
/* Copies at most `room` octets; returns the length of the whole, without a NUL behind it. */
uint16_t tank_get_manufacturer_name_string(struct tank *board, char *value, uint16_t room);

/* model-number-string */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_model_number_string(struct tank *board, const char *value, uint16_t length);
/* Copies at most `room` octets; returns the length of the whole, without a NUL behind it. */
uint16_t tank_get_model_number_string(struct tank *board, char *value, uint16_t room);

/* firmware-revision-string */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_firmware_revision_string(struct tank *board, const char *value, uint16_t length);
/* Copies at most `room` octets; returns the length of the whole, without a NUL behind it. */
uint16_t tank_get_firmware_revision_string(struct tank *board, char *value, uint16_t room);

/* crests */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_crests(struct tank *board, uint32_t value);
/* The value now. */
uint32_t tank_get_crests(struct tank *board);

/* paddle */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_paddle(struct tank *board, uint16_t value);
/* The value now. */
uint16_t tank_get_paddle(struct tank *board);
/* The same in milli hertz, exactly; what is set becomes the nearest raw value (one step is 10, 0.01 Hz). */
int32_t tank_get_paddle_in_milli_hertz(struct tank *board);
enum gw_status tank_set_paddle_in_milli_hertz(struct tank *board, int32_t value);
/* Paddle frequency: from the raw value, 0 to 400, to the phase-accumulator register: tuning-word (32 bit). A raw
   value outside is taken as the nearest end.
   The word is at most 0.499328 steps from the exact one, the value at most ≈0.00000232517719268799 Hz from the one
   asked: tried for every raw value. Integers of 32 bits. */
uint32_t tank_drive_paddle(uint16_t code);

/* level */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_level(struct tank *board, int16_t value);
/* The value now. */
int16_t tank_get_level(struct tank *board);
/* The same in micro metre, exactly; what is set becomes the nearest raw value (one step is 100, 0.0001 m). */
int32_t tank_get_level_in_micro_metre(struct tank *board);
enum gw_status tank_set_level_in_micro_metre(struct tank *board, int32_t value);

/* water */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_water(struct tank *board, int16_t value);
/* The value now. */
int16_t tank_get_water(struct tank *board);
/* The same in milli degree celsius, exactly; what is set becomes the nearest raw value (one step is 10, 0.01 °C). */
int32_t tank_get_water_in_milli_degree_celsius(struct tank *board);
enum gw_status tank_set_water_in_milli_degree_celsius(struct tank *board, int32_t value);

/* light */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_light(struct tank *board, bool value);
/* The value now. */
bool tank_get_light(struct tank *board);

/* dye */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_dye(struct tank *board, enum tank_dye value);
/* The value now. */
enum tank_dye tank_get_dye(struct tank *board);

/* caption */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_caption(struct tank *board, const char *value, uint16_t length);
/* Copies at most `room` octets; returns the length of the whole, without a NUL behind it. */
uint16_t tank_get_caption(struct tank *board, char *value, uint16_t room);

/* note */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_note(struct tank *board, const char *value, uint16_t length);
/* Copies at most `room` octets; returns the length of the whole, without a NUL behind it. */
uint16_t tank_get_note(struct tank *board, char *value, uint16_t room);

/* calibration */
/* Changes the value, checked as a client's write is. */
enum gw_status tank_set_calibration(struct tank *board, const struct tank_calibration *value);
/* Copies the value. */
void tank_get_calibration(struct tank *board, struct tank_calibration *value);

/* Change handlers: you write them, in app.c. tank_poll calls one after a client, the console or a failsafe changed
   the value; the latest of several changes counts. `cause` says who it was. */
void tank_on_paddle(struct tank *board, uint16_t value, enum gw_cause cause);
void tank_on_light(struct tank *board, bool value, enum gw_cause cause);
void tank_on_dye(struct tank *board, enum tank_dye value, enum gw_cause cause);
void tank_on_caption(struct tank *board, const char *value, uint16_t length, enum gw_cause cause);
void tank_on_calibration(struct tank *board, const struct tank_calibration *value, enum gw_cause cause);

#ifdef __cplusplus
}
#endif
#endif
