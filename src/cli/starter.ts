/**
 * The text `gattwright new` writes: a small contract that checks clean, with a comment at each choice.
 *
 * @param name the board's name
 * @param uuidBase 36 characters, zero in the slot's place
 */
export function starterContract(name: string, uuidBase: string): string {
  return `# What this board's radio interface is. Change it, then: gattwright check
# Every key: docs/reference/contract.md. What a finding means: gattwright explain CODE
contract: 1

board:
  name: ${yamlText(`${name} {unit}`)} # {unit} tells boards in one room apart
  unit: "1"
  appearance: generic-sensor

# Made for this contract alone. Services and characteristics are numbered in it, in the order they stand here.
uuid-base: ${uuidBase}

radio:
  advertise: { interval: 200 ms }
  connection: { interval: 30 ms, timeout: 4 s }

use: [battery]

services:
  - id: main
    label: My board
    characteristics:
      # A value the board measures: read it, or subscribe to it.
      - id: speed
        label: Shaft speed
        type: uint16
        scale: { decimal: -1 } # one step is 0.1
        unit: revolution per minute
        range: [0, 6000]
        access: [read, notify]
        notify: { on: change, at-most: 5 Hz }

      # A value that acts on the world: who may write it, and what if the link is lost?
      - id: power
        label: Motor power
        type: uint8
        unit: percentage
        range: [0, 100]
        start: 0
        access: [read, write]
        needs: { write: encrypted }
        drive: { kind: pwm-duty, top: 999 }
        on-link-loss: { value: 0, within: 1 s }

      # A choice by name.
      - id: mode
        label: Mode
        type: { enum: uint8, names: { 0: idle, 1: run, 2: test } }
        access: [read, write]
        needs: { write: encrypted }
`;
}

/** Double-quoted YAML is JSON as far as strings go. */
function yamlText(text: string): string {
  return /^[A-Za-z][A-Za-z0-9 ]*\{unit\}$/.test(text) ? text : JSON.stringify(text);
}
