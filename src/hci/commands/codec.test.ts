import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fromHex, toHex, type Bytes } from '../../base/bytes.ts';
import type { Layout } from '../layout.ts';
import { decodeLayout, encodeLayout } from '../layout.ts';
import { encodePacket } from '../packet.ts';
import {
  completeEvent,
  decodeCommand,
  decodeReturns,
  encodeCommand,
  encodeComplete,
  encodeFailed,
  statusEvent,
} from './codec.ts';
import { commandName, commandNames, commands } from './registry.ts';

const bytes = (text: string): Bytes => fromHex(text)!;

describe('commands', () => {
  // Core Vol 4 Part E 7.3.2 and 7.8: opcodes from group and command, written out by hand.
  it('are written as the standard lays them out', () => {
    expect(toHex(encodePacket(encodeCommand('reset', {})))).toBe('01030c00');
    expect(toHex(encodePacket(encodeCommand('disconnect', { handle: 0x40, reason: 0x13 })))).toBe('01060403400013');
    expect(
      toHex(
        encodePacket(
          encodeCommand('le-set-scan-parameters', {
            type: 1,
            interval: 0x10,
            window: 0x10,
            ownAddressType: 1,
            filterPolicy: 0,
          }),
        ),
      ),
    ).toBe('010b200701100010000100');
    expect(toHex(encodePacket(encodeCommand('le-set-random-address', { address: 'c1:22:33:44:55:66' })))).toBe(
      '010520066655443322c1',
    );
    expect(
      toHex(encodePacket(encodeCommand('le-set-advertising-data', { data: bytes('020106') }))).startsWith(
        '0108202003020106' + '00'.repeat(28),
      ),
    ).toBe(true);
  });

  // Sample data for LE encryption, Core Vol 6 Part C 1: HCI_LE_Enable_Encryption with handle 0x0800, most of it reversed.
  it('start encryption as in the sample data of the standard', () => {
    const sample = '00089078563412efcdab7424bf01fb9d4ef3bc36d874f5394138684c';
    const decoded = decodeCommand({ kind: 'command', opcode: 0x2019, parameters: bytes(sample) });
    expect(decoded).toEqual({
      kind: 'command',
      command: {
        kind: 'le-enable-encryption',
        handle: 0x0800,
        random: bytes('9078563412efcdab'),
        diversifier: 0x2474,
        key: bytes('bf01fb9d4ef3bc36d874f5394138684c'),
      },
    });
  });

  it('have each their own opcode and their own bit', () => {
    const opcodes = commandNames.map((name) => commands[name].opcode);
    const bits = commandNames.map((name) => commands[name].supported.join(':'));
    expect(new Set<number>(opcodes).size).toBe(commandNames.length);
    expect(new Set(bits).size).toBe(commandNames.length);
    expect(opcodes.map((code) => commandName(code))).toEqual(commandNames);
  });

  it('survive decoding and encoding, and every other length is told', () => {
    fc.assert(
      fc.property(fc.constantFrom(...commandNames), fc.uint8Array({ maxLength: 80 }), (name, octets) => {
        const packet = { kind: 'command', opcode: commands[name].opcode, parameters: octets } as const;
        const decoded = decodeCommand(packet);
        if (decoded.kind !== 'command') {
          expect(decoded).toEqual({ kind: 'wrong-length', name });
          return;
        }
        const layout: Layout = commands[name].parameters;
        expect(decodeLayout(layout, encodeLayout(layout, decoded.command))).toEqual(decodeLayout(layout, octets));
      }),
      { numRuns: 300 },
    );
  });

  it('without a declaration are told', () => {
    expect(decodeCommand({ kind: 'command', opcode: 0xfc01, parameters: bytes('00') })).toEqual({
      kind: 'unknown-opcode',
    });
  });
});

describe('answers', () => {
  it('are written as the standard lays them out', () => {
    expect(toHex(encodePacket(encodeComplete('reset', {})))).toBe('040e0401030c00');
    expect(toHex(encodePacket(encodeComplete('le-read-buffer-size', { aclLength: 251, aclCount: 8 })))).toBe(
      '040e0701022000fb0008',
    );
    expect(toHex(encodePacket(statusEvent(0x200d, 0)))).toBe('040f0400010d20');
  });

  it('that fail carry zeros behind the status, but keep the handle', () => {
    expect(toHex(encodeFailed('le-read-phy', 0x02, bytes('4100')).parameters)).toBe('013020' + '02' + '41000000');
    expect(toHex(encodeFailed('reset', 0x0c, bytes('')).parameters)).toBe('01030c0c');
    expect(toHex(encodeFailed('le-rand', 0x0c, bytes('')).parameters)).toBe('011820' + '0c' + '00'.repeat(8));
  });

  it('give their return parameters only when the command succeeded', () => {
    expect(decodeReturns('le-read-buffer-size', bytes('00fb0008'))).toEqual({
      status: 0,
      returns: { aclLength: 251, aclCount: 8 },
    });
    expect(decodeReturns('le-read-buffer-size', bytes('0c'))).toEqual({ status: 0x0c, returns: undefined });
    expect(decodeReturns('le-read-buffer-size', bytes('00fb'))).toEqual({ status: 0, returns: undefined });
  });

  it('to an unknown command name it', () => {
    expect(toHex(completeEvent(0xfc01, bytes('01')).parameters)).toBe('0101fc01');
  });
});
