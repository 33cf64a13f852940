import type { Table } from '../../table/model.ts';
import { actsOnWorld } from '../../values/drives/model.ts';

/** `README.md` of the emitted folder. */
export function renderReadme(table: Table, prefix: string): string {
  const name = table.board.name.replace(/[\p{Cc}\\`*_<>[\]#|]/gu, ' ');
  const upper = prefix.toUpperCase();
  const acts = table.values.some(({ actuator, drive }) => actuator || (drive !== undefined && actsOnWorld(drive)));
  return `# ${name}: firmware

A complete Bluetooth Low Energy peripheral in C99, from the values down to HCI. Made from a contract: change the
contract and make the folder again; files that you changed are not written over unless you say so, and \`app.c\` never.

| file | what it is |
| --- | --- |
| \`app.c\` | yours: change handlers, the sensors, the main loop |
| \`${prefix}.h\` | all you need to read: each value with its unit, range and functions |
| \`${prefix}.c\`, \`${prefix}_table.c\` | made: the functions; the attribute table as constant octets |
| \`runtime/\` | the same for every board: ATT server, host (L2CAP, HCI, H4), console |
| \`ports/\` | what is different from chip to chip |

## Build

\`\`\`
cmake -B build && cmake --build build
build/${prefix}
\`\`\`

That runs the board on this computer with its console on the terminal: type \`help\`. \`build/${prefix} --help\` lists what
else it takes: \`--hci /dev/ttyUSB0@1000000\` for a controller on a serial port, \`--hci unix:PATH\` for one on a socket,
\`--hci stdio\`.

| port | build | radio | console |
| --- | --- | --- | --- |
| posix | \`cmake -B build\` | a stream: serial device, socket, standard input and output | another stream |
| rp2040 | \`cmake -B build-rp2040 -DPORT=rp2040\` | H4 on UART0, GPIO 0 (out) and 1 (in), 1 Mbit/s | UART1, GPIO 4 and 5, 115200 bit/s |
| microbit | \`cmake -B build-microbit -DPORT=microbit\` | H4 on its only UART, 115200 bit/s | none: there is no second UART |

The chips need \`arm-none-eabi-gcc\`; \`cmake --build\` leaves \`${prefix}.elf\` and \`${prefix}.bin\` and prints their size.
Write either into the flash with a debug probe (SWD), the \`.bin\` from the flash's first octet on.
The controller is any that speaks HCI over H4 (UART) without flow control lines; connect its wires crossed.

## What runs where

Everything runs in the main loop: \`${prefix}_poll\` takes octets that have arrived, answers, runs timers and calls your
handlers. Interrupts only move octets. So a handler may use every function of \`${prefix}.h\`, and must not wait: a loop that
takes longer than 20 ms delays answers, one that takes seconds loses the link.

A value has one truth, in the board. \`${prefix}_set_…\` changes it and is checked as a client's write is; what is refused
changes nothing. Subscribers are told as often as the contract allows, always the latest value and never a torn one.

## Another chip

Write a folder under \`ports/\` with the functions of \`runtime/include/gw_machine.h\`:

| function | gives |
| --- | --- |
| \`gw_machine_open\` | clocks, UARTs, interrupts |
| \`gw_machine_micros\` | a free-running microsecond clock, 32 bits |
| \`gw_machine_address\` | the board's own random static address, if the chip has one |
| \`gw_machine_radio_read\`, \`gw_machine_radio_send\` | octets from and to the controller |
| \`gw_machine_console_read\`, \`…_print\`, \`…_ready\` | the console; it may do nothing |
| \`gw_machine_wait\` | sleep until octets arrive or time is up |

A host that brings its own lower layers (a vendor's stack) needs none of that for the radio: give it \`gw_att_open\`,
\`gw_att_receive\` and \`gw_att_close\` of \`runtime/include/gw_board.h\`, and send what \`att_send\` hands out. These may run in
the radio's context; then \`lock\` and \`unlock\` of \`struct gw_port\` must keep it out.

Sizes are set by macros: \`GW_CONNECTIONS\` (clients at once; \`cmake -DCONNECTIONS=4\` sets it), \`GW_EVENT_OCTETS\` (what the console may fall behind),
\`${upper}_CONSOLE\` (0 leaves the console out). They must be the same for all files of a build.

## Cautions

- A radio link is not a safety function. Stops, limits and interlocks belong in hardware that works without this program.${
    acts
      ? '\n- This board moves, heats, lights or sounds something. Values on link loss come only after the supervision timeout; the\n  hardware must be safe until then, at power-up, and when this program hangs. Use a watchdog.'
      : ''
  }
- Motors, mains, lasers, loud sound and batteries can hurt. Follow local codes, the lab's rules and licensed practice.
- Use a certified radio module as its maker says, and obey local radio regulations; raise no power, change no antenna.
- Links are not encrypted by this host yet: a value that needs it is refused to every client. What is open, anybody near
  can read or write.
`;
}
