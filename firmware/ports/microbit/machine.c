/* Register addresses and bits: nRF51 Series Reference Manual, chapters UART and TIMER. */
#include "gw_machine.h"
#include "startup.h"

#define UART 0x40002000u
#define UART_STARTRX 0x000u
#define UART_STARTTX 0x008u
#define UART_RXDRDY 0x108u
#define UART_TXDRDY 0x11Cu
#define UART_INTENSET 0x304u
#define UART_ENABLE 0x500u
#define UART_PSELTXD 0x50Cu
#define UART_PSELRXD 0x514u
#define UART_RXD 0x518u
#define UART_TXD 0x51Cu
#define UART_BAUDRATE 0x524u

#define TIMER 0x40008000u
#define TIMER_START 0x000u
#define TIMER_CAPTURE0 0x040u
#define TIMER_COMPARE1 0x144u
#define TIMER_INTENSET 0x304u
#define TIMER_MODE 0x504u
#define TIMER_BITMODE 0x508u
#define TIMER_PRESCALER 0x510u
#define TIMER_CC0 0x540u
#define TIMER_CC1 0x544u

#define GPIO_DIRSET 0x50000518u
#define GPIO_OUTSET 0x50000508u

/** Pins of the interface chip's serial port. */
#define PIN_TX 24u
#define PIN_RX 25u

#define UART_IRQ 2u
#define TIMER_IRQ 8u

/** The interrupt handler has no other way to what the main file owns. */
static struct gw_machine *machine_of_interrupts;

void port_interrupt(void) {
  REGISTER(TIMER + TIMER_COMPARE1) = 0;
  while (REGISTER(UART + UART_RXDRDY) != 0) {
    REGISTER(UART + UART_RXDRDY) = 0; /* before reading: what arrives meanwhile asks again */
    (void)ring_put(&machine_of_interrupts->radio, (uint8_t)(REGISTER(UART + UART_RXD) & 0xFFu));
  }
}

bool gw_machine_open(struct gw_machine *machine, int argc, char **argv) {
  (void)argc;
  (void)argv;
  machine_of_interrupts = machine;
  REGISTER(GPIO_OUTSET) = UINT32_C(1) << PIN_TX;
  REGISTER(GPIO_DIRSET) = UINT32_C(1) << PIN_TX;
  REGISTER(UART + UART_PSELTXD) = PIN_TX;
  REGISTER(UART + UART_PSELRXD) = PIN_RX;
  REGISTER(UART + UART_BAUDRATE) = 0x01D7E000u; /* 115200 bit/s */
  REGISTER(UART + UART_ENABLE) = 4;
  REGISTER(UART + UART_INTENSET) = 1u << 2; /* RXDRDY */
  REGISTER(UART + UART_STARTTX) = 1;
  REGISTER(UART + UART_STARTRX) = 1;
  REGISTER(TIMER + TIMER_MODE) = 0;
  REGISTER(TIMER + TIMER_BITMODE) = 3;   /* 32 bits; only TIMER0 has them */
  REGISTER(TIMER + TIMER_PRESCALER) = 4; /* 16 MHz / 2^4 */
  REGISTER(TIMER + TIMER_INTENSET) = 1u << 17;
  REGISTER(TIMER + TIMER_START) = 1;
  interrupt_enable(UART_IRQ);
  interrupt_enable(TIMER_IRQ);
  return true;
}

uint32_t gw_machine_micros(void *machine) {
  (void)machine;
  REGISTER(TIMER + TIMER_CAPTURE0) = 1;
  return REGISTER(TIMER + TIMER_CC0);
}

bool gw_machine_address(struct gw_machine *machine, uint8_t address[6]) {
  uint32_t low = REGISTER(0x100000A4u); /* FICR DEVICEADDR: random, of this chip alone */
  uint32_t high = REGISTER(0x100000A8u);
  uint8_t i;
  (void)machine;
  if ((low == 0 && (high & 0xFFFFu) == 0) || low == UINT32_MAX) return false;
  for (i = 0; i < 4; i++) address[i] = (uint8_t)(low >> (8 * i) & 0xFFu);
  address[4] = (uint8_t)(high & 0xFFu);
  address[5] = (uint8_t)((high >> 8 & 0xFFu) | 0xC0u);
  return true;
}

size_t gw_machine_radio_read(struct gw_machine *machine, uint8_t *octets, size_t room) {
  return ring_read(&machine->radio, octets, room);
}

bool gw_machine_radio_send(void *machine, const uint8_t *octets, size_t length) {
  size_t i;
  (void)machine;
  for (i = 0; i < length; i++) {
    REGISTER(UART + UART_TXDRDY) = 0;
    REGISTER(UART + UART_TXD) = octets[i];
    while (REGISTER(UART + UART_TXDRDY) == 0) {
      /* an octet takes 87 us */
    }
  }
  return true;
}

size_t gw_machine_console_read(struct gw_machine *machine, uint8_t *octets, size_t room) {
  (void)machine;
  (void)octets;
  (void)room;
  return 0;
}

void gw_machine_console_print(void *machine, const uint8_t *octets, size_t length) {
  (void)machine;
  (void)octets;
  (void)length;
}

bool gw_machine_console_ready(void *machine, uint32_t octets) {
  (void)machine;
  (void)octets;
  return true;
}

bool gw_machine_wait(struct gw_machine *machine, uint32_t micros) {
  if (micros < 20u) return true;
  if (micros > 0x7FFFFFFFu) micros = 0x7FFFFFFFu;
  interrupts_off();
  REGISTER(TIMER + TIMER_CC1) = gw_machine_micros(machine) + micros;
  if (ring_used(&machine->radio) == 0) sleep_until_interrupt();
  interrupts_on();
  return true;
}
