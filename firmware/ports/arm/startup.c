#include "startup.h"

#include <stddef.h>

extern uint32_t image_data_source[];
extern uint32_t image_data[];
extern uint32_t image_data_end[];
extern uint32_t image_bss[];
extern uint32_t image_bss_end[];
extern uint32_t image_stack_top[];

void Reset_Handler(void) {
  const uint32_t *from = image_data_source;
  uint32_t *to;
  for (to = image_data; (uintptr_t)to < (uintptr_t)image_data_end; to++) {
    *to = *from;
    from++;
  }
  for (to = image_bss; (uintptr_t)to < (uintptr_t)image_bss_end; to++) *to = 0;
  (void)main(0, NULL);
  Stop_Handler();
}

/** A fault stops the board where it is, for a debugger to look at; a watchdog may start it anew. */
void Stop_Handler(void) {
  for (;;) sleep_until_interrupt();
}

typedef void (*vector)(void);

/** Stack, reset, 14 exceptions, 32 interrupts. The first entry is an address that is no function. */
struct vectors {
  uint32_t *stack;
  vector exceptions[15];
  vector interrupts[32];
};

extern const struct vectors vectors;

#define FOUR port_interrupt, port_interrupt, port_interrupt, port_interrupt

__attribute__((section(".vectors"), used)) const struct vectors vectors = {
    image_stack_top,
    {Reset_Handler, Stop_Handler, Stop_Handler, Stop_Handler, Stop_Handler, Stop_Handler, NULL, NULL, NULL, NULL,
     Stop_Handler, NULL, NULL, Stop_Handler, Stop_Handler},
    {FOUR, FOUR, FOUR, FOUR, FOUR, FOUR, FOUR, FOUR}};
