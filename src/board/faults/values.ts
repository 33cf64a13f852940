import { bigFromLe, bigToLe, concat, reversed, type Bytes } from '../../base/bytes.ts';
import { add, subtract, zero } from '../../base/rational.ts';
import { opcode } from '../../numbers/att-opcodes.ts';
import type { Table } from '../../table/model.ts';
import { checkValue } from '../../values/check.ts';
import { codedRange, resolution } from '../../values/physical.ts';
import { defaultBytes } from '../../values/start.ts';
import type { IntegerType, ValueType } from '../../values/type.ts';
import type { Fault } from '../model.ts';
import {
  definitionAt,
  handleIn,
  handlePdu,
  mapType,
  mapValues,
  printed,
  requestOf,
  sent,
  withOctet,
  writtenValue,
  type Wrap,
} from './plant.ts';

// Faults in what a value is: its octets, its range, its truth.

/** Changes the types of all values; lengths stay as they are. */
function types(change: (leaf: ValueType) => ValueType): (table: Table) => Table {
  return (table) => mapValues(table, (definition) => ({ ...definition, type: mapType(definition.type, change) }));
}

function integers(change: (type: IntegerType) => IntegerType): (table: Table) => Table {
  return types((type) => (type.kind === 'integer' ? change(type) : type));
}

function octetCount(type: IntegerType): number {
  return Math.ceil(type.bits / 8);
}

/** Multi-octet integers reversed wherever they cross the air, both ways. */
const swapOrder: Wrap = (inner, table) => {
  const swapped = (handle: number, value: Bytes): Bytes => {
    const type = definitionAt(table, handle)?.type;
    return type?.kind === 'integer' && value.length === octetCount(type) ? reversed(value) : value;
  };
  const outgoing = sent((pdu, { event }) => {
    const request = requestOf(event);
    if (pdu[0] === opcode.readResponse && request?.[0] === opcode.readRequest) {
      return [concat([opcode.readResponse], swapped(handleIn(request), pdu.subarray(1)))];
    }
    if (pdu[0] === opcode.handleValueNotification || pdu[0] === opcode.handleValueIndication) {
      return [handlePdu(pdu[0], handleIn(pdu), swapped(handleIn(pdu), pdu.subarray(3)))];
    }
    return [pdu];
  });
  return writtenValue((value, definition) => swapped(definition.handle, value))(outgoing(inner, table), table);
};

export const valueFaults: readonly Fault[] = [
  {
    name: 'wrong-length-accepted',
    about: 'The board cuts or fills a write of the wrong length and accepts it.',
    symptom: 'A client that writes one octet into a two-octet value is told that all is well.',
    wrap: writtenValue((value, { minLength, maxLength }) =>
      minLength === maxLength ? Uint8Array.from({ length: minLength }, (_, i) => value[i] ?? 0) : value,
    ),
  },
  {
    name: 'byte-order-swapped',
    about: 'Integers cross the air with the most significant octet first.',
    symptom: 'Numbers are absurd but constant: 2 reads as 512.',
    wrap: swapOrder,
  },
  {
    name: 'highest-value-refused',
    about: 'The upper limit of every range is one code too low.',
    symptom: 'The dial cannot be turned to its end.',
    table: integers((type) => {
      const { min, max } = codedRange(type);
      const step = resolution(type);
      if (step === undefined || min >= max) return type;
      // A negative multiplier turns the codes round: the highest code is then the lowest quantity.
      const { range } = type;
      return type.scale.multiplier > 0
        ? { ...type, range: { ...range, max: subtract(range.max, step) } }
        : { ...type, range: { ...range, min: add(range.min, step) } };
    }),
  },
  {
    name: 'range-exceeded-by-one',
    about: 'The board accepts one code above the range.',
    symptom: 'A value outside the contract reaches the actuator.',
    table: integers((type) => {
      const step = resolution(type);
      if (step === undefined || !type.bounded) return type;
      const { range } = type;
      return type.scale.multiplier > 0
        ? { ...type, range: { ...range, max: add(range.max, step) } }
        : { ...type, range: { ...range, min: subtract(range.min, step) } };
    }),
  },
  {
    name: 'out-of-range-clamped',
    about: 'A number outside its range is clamped silently instead of refused.',
    symptom: 'The write succeeds and the value is another one.',
    wrap: writtenValue((value, { type }) => {
      if (type.kind !== 'integer' || checkValue(type, value)?.reason !== 'range') return value;
      const { min, max } = codedRange(type);
      const unsigned = bigFromLe(value);
      const code = type.signed ? BigInt.asIntN(8 * value.length, unsigned) : unsigned;
      return bigToLe(code < min ? min : max, value.length);
    }),
  },
  {
    name: 'sign-lost',
    about: 'Signed numbers are kept as unsigned ones: what is below zero is refused.',
    symptom: 'The level never falls below zero, and negative settings cannot be written.',
    table: integers((type) =>
      type.signed && type.range.min.num < 0n && type.range.max.num > 0n
        ? { ...type, range: { ...type.range, min: zero } }
        : type,
    ),
  },
  {
    name: 'cut-to-32-bits',
    about: 'Integers of more than 32 bits lose everything above.',
    symptom: 'A long counter starts again at 4,294,967,296.',
    wrap: writtenValue((value, { type }) =>
      type.kind === 'integer' && type.bits > 32 ? value.map((octet, i) => (i < 4 ? octet : 0)) : value,
    ),
  },
  {
    name: 'broken-text-accepted',
    about: 'Texts are taken as they come, broken UTF-8 included.',
    symptom: 'The display shows boxes, and a client that decodes strictly stops.',
    table: types((type) =>
      type.kind === 'text' ? { kind: 'bytes', minLength: type.minLength, maxLength: type.maxLength } : type,
    ),
  },
  {
    name: 'unnamed-code-accepted',
    about: 'Codes of a choice and bits of flags that the contract does not name are accepted.',
    symptom: 'The board is in a state that nobody has a word for.',
    table: types((type) => {
      if (type.kind === 'enum') {
        const size = type.bits === 8 ? 256 : 1024;
        return { ...type, names: Array.from({ length: size }, (_, code) => ({ code: BigInt(code), name: `${code}` })) };
      }
      if (type.kind !== 'flags') return type;
      return { ...type, names: Array.from({ length: type.bits }, (_, bit) => ({ bit, name: `${bit}` })) };
    }),
  },
  {
    name: 'only-first-field-checked',
    about: 'Only the first field of a struct is checked, the others are taken unseen.',
    symptom: 'A calibration with an absurd offset is accepted.',
    table: (table) =>
      mapValues(table, (definition) => {
        const { type } = definition;
        if (type.kind !== 'struct') return definition;
        const fields = type.fields.map((field, i) => (i === 0 ? field : { ...field, type: unchecked(field.type) }));
        return { ...definition, type: { ...type, fields } };
      }),
  },
  {
    name: 'start-value-ignored',
    about: 'At power-up every value is empty or zero, whatever the contract says.',
    symptom: 'After a reset the paddle stands still until somebody writes to it.',
    table: (table) => mapValues(table, (definition) => ({ ...definition, start: defaultBytes(definition.type) })),
  },
  {
    name: 'console-tells-another-truth',
    about: 'The console shows a value that is not the one the radio answers with.',
    symptom: 'Log file and client disagree by one.',
    wrap: printed((line) =>
      (line.kind === 'tell' || line.kind === 'value') && line.value.length > 0
        ? { ...line, value: withOctet(line.value, 0, (octet) => octet ^ 1) }
        : line,
    ),
  },
];

/** The same octets with nothing forbidden in them. */
function unchecked(type: ValueType): ValueType {
  return mapType(type, (leaf) => {
    if (leaf.kind === 'float') return { ...leaf, range: undefined };
    if (leaf.kind !== 'integer') return leaf;
    const whole = { ...leaf, bounded: false };
    // Wider than any width: what the width can code is the bound then.
    const far = { num: 1n << 200n, den: 1n };
    return { ...whole, range: { min: { num: -far.num, den: 1n }, max: far } };
  });
}
