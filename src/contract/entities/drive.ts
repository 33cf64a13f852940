import { rational, type Rational } from '../../base/rational.ts';
import { byWord, list } from '../shapes/composite.ts';
import { frequency, time } from '../shapes/quantities.ts';
import { byDefault, optional, record, required, whole, type Values } from '../shapes/record.ts';
import { decimal, positive, whole as wholeNumber, word } from '../shapes/scalars.ts';
import { shape, type Shape } from '../shapes/shape.ts';
import type { Where } from '../model.ts';

/** `drive`: the arithmetic between a value and a register of the chip. */

const kind = <K extends string>(k: K) => required(word([k], `\`${k}\``), 'Which drive this is.', k);

const phaseAccumulator = record(
  {
    id: 'phase-accumulator',
    called: 'a phase accumulator',
    intro: 'word = value × 2^width / clock. The value is a frequency, in hertz or per minute.',
  },
  {
    kind: kind('phase-accumulator'),
    width: required(wholeNumber(8, 64, { unit: 'bits' }), 'Width of the accumulator in bits.', '32'),
    clock: required(frequency, 'How often the accumulator advances.', '20 kHz'),
  },
);

const timer = record(
  {
    id: 'timer',
    called: 'a timer',
    intro: 'frequency = clock / (prescaler × (reload + 1)). The value is a frequency or a period.',
  },
  {
    kind: kind('timer'),
    clock: required(frequency, 'Clock of the timer before its prescaler.', '48 MHz'),
    prescalers: byDefault(
      list(wholeNumber(1, 65536), 'a list of factors', { min: 1, distinct: true }),
      [1],
      '[1]',
      'The prescaler factors that the chip offers.',
      '[1, 8, 64, 256]',
    ),
    reload: byDefault(wholeNumber(8, 32, { unit: 'bits' }), 16, '16', 'Width of the reload register in bits.'),
    of: optional(
      word(['frequency', 'period'], '`frequency` or `period`'),
      '`frequency` for hertz and what counts per minute, `period` for times',
      'What the value is.',
      'period',
    ),
  },
);

const pwmDuty = record(
  {
    id: 'pwm-duty',
    called: 'a PWM duty',
    intro: 'duty = level / (top + 1). The value is a fraction of `full`. Give `top` or `bits`.',
  },
  {
    kind: kind('pwm-duty'),
    top: optional(
      wholeNumber(1, 0xffff_ffff),
      '2^bits - 1',
      'Highest count of the timer: the period is one count more.',
      '999',
    ),
    bits: optional(
      wholeNumber(1, 32, { unit: 'bits' }),
      'none',
      'Width of the counter in bits, instead of `top`.',
      '10',
    ),
    full: optional(positive, '100 for percentage, else 1', 'The value that means always on.', '100'),
  },
);

const pulseEnd = record(
  { id: 'pulse-end', called: 'an end of the travel', intro: 'A value, and the pulse width that goes with it.' },
  {
    value: required(decimal, 'The value, in its unit.', '-90'),
    width: required(time(), 'Width of the pulse.', '1 ms'),
  },
);

const pulseWidth = record(
  {
    id: 'pulse-width',
    called: 'a pulse width',
    intro: 'A straight line from the value to the width of a pulse, as a servo takes it: word = width × clock.',
  },
  {
    kind: kind('pulse-width'),
    clock: required(frequency, 'Clock of the counter.', '1 MHz'),
    bits: byDefault(wholeNumber(8, 32, { unit: 'bits' }), 16, '16', 'Width of the register in bits.'),
    from: required(whole(pulseEnd), 'One end of the travel.', '{ value: -90, width: 1 ms }'),
    to: required(whole(pulseEnd), 'The other end.', '{ value: 90, width: 2 ms }'),
  },
);

const converterFields = {
  bits: required(wholeNumber(4, 24, { unit: 'bits' }), 'Resolution of the converter in bits.', '12'),
  reference: required(positive, 'Full-scale reference, in the unit of the value.', '3.3'),
};

const dac = record(
  {
    id: 'dac',
    called: 'a DAC',
    intro: 'code = value × 2^bits / (reference × gain), at most 2^bits - 1.',
  },
  {
    kind: kind('dac'),
    ...converterFields,
    gain: byDefault(positive, rational(1), '1', 'Gain behind the converter.', '2'),
  },
);

const adc = record(
  { id: 'adc', called: 'an ADC', intro: 'value = code × reference / 2^bits / gain.' },
  {
    kind: kind('adc'),
    ...converterFields,
    gain: byDefault(positive, rational(1), '1', 'Gain before the converter.', '10'),
  },
);

export type TablePoint = { readonly value: Rational; readonly word: number };

const point: Shape<TablePoint> = shape<TablePoint>({
  wanted: 'a pair [VALUE, WORD]',
  fits: (node) => node.kind === 'list',
  read(node, spot) {
    const [value, at] = list(decimal, 'a pair [VALUE, WORD]', { min: 2, max: 2 }).decode(node, spot) ?? [];
    const second = node.kind === 'list' ? node.items[1] : undefined;
    if (value === undefined || at === undefined || second === undefined) return undefined;
    const register = wholeNumber(0, 0xffff_ffff).decode(second, { ...spot, name: `the word of ${spot.name}` });
    return register === undefined ? undefined : { value, word: register };
  },
  schema: () => ({
    type: 'array',
    items: [{ type: 'number' }, { type: 'integer', minimum: 0, maximum: 0xffff_ffff }],
    minItems: 2,
    maxItems: 2,
  }),
});

const table = record(
  {
    id: 'table',
    called: 'a table',
    intro: 'Straight lines between points; constant outside them. Values strictly rise from point to point.',
  },
  {
    kind: kind('table'),
    bits: byDefault(wholeNumber(8, 32, { unit: 'bits' }), 16, '16', 'Width of the register in bits.'),
    points: required(
      list(point, 'a list of points', { min: 2, max: 256 }),
      'Value and register word of each point.',
      '[[0, 0], [50, 900], [100, 4095]]',
    ),
  },
);

type Read<R> = R extends { readonly fields: infer F extends Parameters<typeof record>[1] }
  ? Values<F> & { readonly where: Where }
  : never;

/** A drive as written; `resolve/drive.ts` fits it to the value. */
export type DriveDraft =
  | Read<typeof phaseAccumulator>
  | Read<typeof timer>
  | Read<typeof pwmDuty>
  | Read<typeof pulseWidth>
  | Read<typeof dac>
  | Read<typeof adc>
  | Read<typeof table>;

export const drive: Shape<DriveDraft> = byWord<DriveDraft>(
  'kind',
  {
    'phase-accumulator': whole(phaseAccumulator),
    timer: whole(timer),
    'pwm-duty': whole(pwmDuty),
    'pulse-width': whole(pulseWidth),
    dac: whole(dac),
    adc: whole(adc),
    table: whole(table),
  },
  'a drive',
);
