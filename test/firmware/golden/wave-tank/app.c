/* gattwright 0.0.0 began this file from contract.yaml; it is yours to change. hash ae1a62568e90649a */
#include "tank.h"

/* The program of the board. It owns the one context, looks after its own work in short turns, and gives the rest of
   the time to the radio and the console. Nothing here may wait: what takes long is done in parts, one a turn. */

/* Somebody changed Paddle frequency: pass it on to the hardware. */
void tank_on_paddle(struct tank *board, uint16_t value, enum gw_cause cause) {
  uint32_t word = tank_drive_paddle(value);
  (void)word; /* for the register */
  (void)board;
  (void)cause;
}

/* Somebody changed Work light: pass it on to the hardware. */
void tank_on_light(struct tank *board, bool value, enum gw_cause cause) {
  (void)board;
  (void)value;
  (void)cause;
}

/* Somebody changed Dye: pass it on to the hardware. */
void tank_on_dye(struct tank *board, enum tank_dye value, enum gw_cause cause) {
  (void)board;
  (void)value;
  (void)cause;
}

/* Somebody changed Caption on the display: pass it on to the hardware. */
void tank_on_caption(struct tank *board, const char *value, uint16_t length, enum gw_cause cause) {
  (void)board;
  (void)value;
  (void)length;
  (void)cause;
}

/* Somebody changed Gauge calibration: pass it on to the hardware. */
void tank_on_calibration(struct tank *board, const struct tank_calibration *value, enum gw_cause cause) {
  (void)board;
  (void)value;
  (void)cause;
}

/** Microseconds between two looks at the sensors. */
#define SAMPLE_INTERVAL 50000u

/* Reads the sensors and says what they read. The board tells subscribers as often as the contract allows.
   For example: (void)tank_set_battery_level(board, what you measured). */
static void sample(struct tank *board) {
  (void)board;
}

int main(int argc, char **argv) {
  static struct gw_machine machine;
  static struct tank board;
  uint32_t sampled;
  if (!gw_machine_open(&machine, argc, argv)) return 2;
  if (tank_init(&board, &machine) != GW_OK) return 3;
  sampled = gw_machine_micros(&machine);
  for (;;) {
    uint32_t wait;
    uint32_t passed = gw_machine_micros(&machine) - sampled;
    if (passed >= SAMPLE_INTERVAL) {
      sampled += passed - passed % SAMPLE_INTERVAL;
      passed %= SAMPLE_INTERVAL;
      sample(&board);
    }
    wait = tank_poll(&board);
    if (wait > SAMPLE_INTERVAL - passed) wait = SAMPLE_INTERVAL - passed;
    if (!gw_machine_wait(&machine, wait)) return 0;
  }
}
