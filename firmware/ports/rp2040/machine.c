/* Register addresses and bits: RP2040 data sheet, the section named at each. */
#include "gw_machine.h"
#include "startup.h"

#define RESETS 0x4000C000u   /* 2.14.3 */
#define CLOCKS 0x40008000u   /* 2.15.7 */
#define XOSC 0x40024000u     /* 2.16.7 */
#define PLL_SYS 0x40028000u  /* 2.18.4 */
#define WATCHDOG 0x40058000u /* 4.7.6 */
#define TIMER 0x40054000u    /* 4.6.5 */
#define IO_BANK0 0x40014000u /* 2.19.6.1 */
#define UART0 0x40034000u    /* 4.2.8 */
#define UART1 0x40038000u

/** Clears bits of the register that many addresses below. 2.1.2 */
#define CLEAR_ALIAS 0x3000u

#define UART_DATA 0x00u
#define UART_FLAGS 0x18u
#define UART_RX_EMPTY 0x10u
#define UART_TX_FULL 0x20u

#define TIMER_IRQ 0u
#define UART0_IRQ 20u
#define UART1_IRQ 21u

/** Steps after which a wait for the hardware is given up: an emulator may not know the part. */
#define PATIENCE 20000u

/** The interrupt handler has no other way to what the main file owns. */
static struct gw_machine *machine_of_interrupts;

static void wait_for(uint32_t address, uint32_t bits) {
  uint32_t left = PATIENCE;
  while ((REGISTER(address) & bits) != bits && left > 0) left -= 1;
}

static void take_out_of_reset(uint32_t bits) {
  REGISTER(RESETS + CLEAR_ALIAS) = bits;
  wait_for(RESETS + 0x8u, bits);
}

/** 12 MHz crystal, 125 MHz from the PLL: 12 * 125 / 6 / 2. 2.16, 2.18 and 2.15.3. */
static void start_clocks(void) {
  REGISTER(XOSC + 0xCu) = 47; /* 1 ms to become stable */
  REGISTER(XOSC) = 0xFABAA0u;
  wait_for(XOSC + 0x4u, UINT32_C(1) << 31);
  REGISTER(CLOCKS + 0x30u) = 2; /* clk_ref: crystal */
  wait_for(CLOCKS + 0x38u, 1u << 2);
  REGISTER(CLOCKS + 0x3Cu) = 0; /* clk_sys: clk_ref, while the PLL changes */
  wait_for(CLOCKS + 0x44u, 1u);
  take_out_of_reset(1u << 12);
  REGISTER(PLL_SYS) = 1;
  REGISTER(PLL_SYS + 0x8u) = 125;
  REGISTER(PLL_SYS + 0x4u + CLEAR_ALIAS) = 0x21u; /* power, VCO */
  wait_for(PLL_SYS, UINT32_C(1) << 31);
  REGISTER(PLL_SYS + 0xCu) = 6u << 16 | 2u << 12;
  REGISTER(PLL_SYS + 0x4u + CLEAR_ALIAS) = 0x8u; /* post dividers */
  REGISTER(CLOCKS + 0x3Cu) = 1;                  /* clk_sys: PLL */
  wait_for(CLOCKS + 0x44u, 2u);
  REGISTER(CLOCKS + 0x48u) = 1u << 11; /* clk_peri: clk_sys */
  REGISTER(WATCHDOG + 0x2Cu) = 1u << 9 | 12u; /* the timer's microsecond */
}

/** 8N1 with FIFOs; 125 MHz / 16 / rate in 1/64. 4.2.3.2 and 4.2.7.1 */
static void start_uart(uint32_t uart, uint32_t divisor_64) {
  REGISTER(uart + 0x24u) = divisor_64 / 64u;
  REGISTER(uart + 0x28u) = divisor_64 % 64u;
  REGISTER(uart + 0x2Cu) = 0x70u;
  REGISTER(uart + 0x30u) = 0x301u;
  REGISTER(uart + 0x34u) = 0;     /* interrupt when the FIFO is an eighth full */
  REGISTER(uart + 0x38u) = 0x50u; /* received, and nothing more for a while */
}

static void drain(uint32_t uart, struct ring *ring) {
  REGISTER(uart + 0x44u) = 0x50u; /* before reading: what arrives meanwhile asks again */
  while ((REGISTER(uart + UART_FLAGS) & UART_RX_EMPTY) == 0) (void)ring_put(ring, (uint8_t)(REGISTER(uart) & 0xFFu));
}

void port_interrupt(void) {
  REGISTER(TIMER + 0x34u) = 1;
  drain(UART0, &machine_of_interrupts->radio);
  drain(UART1, &machine_of_interrupts->typed);
}

bool gw_machine_open(struct gw_machine *machine, int argc, char **argv) {
  (void)argc;
  (void)argv;
  machine_of_interrupts = machine;
  start_clocks();
  take_out_of_reset(1u << 5 | 1u << 8 | 1u << 21 | 1u << 22 | 1u << 23);
  REGISTER(IO_BANK0 + 0x04u) = 2; /* GPIO 0, 1: UART0. 2.19.2 */
  REGISTER(IO_BANK0 + 0x0Cu) = 2;
  REGISTER(IO_BANK0 + 0x24u) = 2; /* GPIO 4, 5: UART1 */
  REGISTER(IO_BANK0 + 0x2Cu) = 2;
  start_uart(UART0, 500u);  /* 1 Mbit/s: 7 52/64 */
  start_uart(UART1, 4340u); /* 115200 bit/s: 67 52/64 */
  REGISTER(TIMER + 0x38u) = 1;
  interrupt_enable(TIMER_IRQ);
  interrupt_enable(UART0_IRQ);
  interrupt_enable(UART1_IRQ);
  return true;
}

uint32_t gw_machine_micros(void *machine) {
  (void)machine;
  return REGISTER(TIMER + 0x28u);
}

bool gw_machine_address(struct gw_machine *machine, uint8_t address[6]) {
  (void)machine;
  (void)address;
  return false;
}

size_t gw_machine_radio_read(struct gw_machine *machine, uint8_t *octets, size_t room) {
  return ring_read(&machine->radio, octets, room);
}

bool gw_machine_radio_send(void *machine, const uint8_t *octets, size_t length) {
  size_t i;
  (void)machine;
  for (i = 0; i < length; i++) {
    while ((REGISTER(UART0 + UART_FLAGS) & UART_TX_FULL) != 0) {
      /* at most as long as the FIFO takes for an octet: 10 us */
    }
    REGISTER(UART0) = octets[i];
  }
  return true;
}

size_t gw_machine_console_read(struct gw_machine *machine, uint8_t *octets, size_t room) {
  return ring_read(&machine->typed, octets, room);
}

/** Hands on what the console's FIFO takes now. */
static void print_some(struct gw_machine *machine) {
  while (ring_used(&machine->printed) > 0 && (REGISTER(UART1 + UART_FLAGS) & UART_TX_FULL) == 0) {
    REGISTER(UART1) = ring_take(&machine->printed);
  }
}

void gw_machine_console_print(void *user, const uint8_t *octets, size_t length) {
  struct gw_machine *machine = (struct gw_machine *)user;
  size_t i;
  for (i = 0; i < length; i++) {
    while (!ring_put(&machine->printed, octets[i])) print_some(machine);
  }
  print_some(machine);
}

bool gw_machine_console_ready(void *user, uint32_t octets) {
  const struct gw_machine *machine = (const struct gw_machine *)user;
  return octets <= ring_room(&machine->printed) || ring_used(&machine->printed) == 0;
}

bool gw_machine_wait(struct gw_machine *machine, uint32_t micros) {
  print_some(machine);
  /* The FIFO has 32 octets, 2.7 ms at 115200 bit/s: come back before it is empty. */
  if (ring_used(&machine->printed) > 0 && micros > 2000u) micros = 2000u;
  if (micros < 10u) return true;
  if (micros > 0x7FFFFFFFu) micros = 0x7FFFFFFFu;
  interrupts_off();
  REGISTER(TIMER + 0x10u) = REGISTER(TIMER + 0x28u) + micros;
  if (ring_used(&machine->radio) == 0 && ring_used(&machine->typed) == 0) sleep_until_interrupt();
  interrupts_on();
  return true;
}
