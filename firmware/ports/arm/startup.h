/* Start-up of a Cortex-M0 or M0+ (ARMv6-M), without a vendor's code. */
#ifndef STARTUP_H
#define STARTUP_H

#include <stdint.h>

/** The port's handler of all interrupts of its chip. */
void port_interrupt(void);

int main(int argc, char **argv);
void Reset_Handler(void);
void Stop_Handler(void);

/** A register by its address. */
#define REGISTER(address) (*(volatile uint32_t *)(uintptr_t)(address))

/** Enables an interrupt in the NVIC, and lets it wake the core. ARMv6-M Architecture Reference Manual B3.4. */
static inline void interrupt_enable(uint32_t number) { REGISTER(0xE000E100u) = UINT32_C(1) << number; }

static inline void interrupts_off(void) { __asm__ volatile("cpsid i" ::: "memory"); }

static inline void interrupts_on(void) { __asm__ volatile("cpsie i\n isb" ::: "memory"); }

/** Sleeps until an interrupt is pending, also one that is kept out. */
static inline void sleep_until_interrupt(void) { __asm__ volatile("wfi" ::: "memory"); }

#endif
