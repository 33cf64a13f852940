import { toHex } from '../../../base/bytes.ts';
import { compare, divide, multiply, rational, toDouble, type Rational } from '../../../base/rational.ts';
import { showTime, type Microseconds } from '../../../base/quantity.ts';
import { attErrorName } from '../../../numbers/att-errors.ts';
import { unitByCode } from '../../../numbers/units.ts';
import { decode } from '../../../values/codec.ts';
import { driveResolution } from '../../../values/drives/drive.ts';
import { explainDrive } from '../../../values/drives/explain.ts';
import type { Drive } from '../../../values/drives/model.ts';
import { resolution, toPhysical } from '../../../values/physical.ts';
import { lengthRange } from '../../../values/packing.ts';
import { showBytes, typeName } from '../../../values/show.ts';
import { readableNumber, showQuantity, showRange, withUnit } from '../../../values/show-number.ts';
import type { ValueType } from '../../../values/type.ts';
import type { AccessWord, Need } from '../../../contract/model.ts';
import type { ValueDefinition } from '../../../table/model.ts';
import { lengthWords, superscript } from '../../ruler/coding-words.ts';

/** One line about a characteristic: `board` for what the board holds and does, `air` for what crosses. */
export type Fact = { readonly side: 'board' | 'air'; readonly term: string; readonly words: string };

/** All that the sheet prints of a value, what matters most first. */
export function factsOf(value: ValueDefinition): readonly Fact[] {
  const board = (term: string, words: string | undefined): Fact | undefined =>
    words === undefined || words === '' ? undefined : { side: 'board', term, words };
  const air = (term: string, words: string | undefined): Fact | undefined =>
    words === undefined || words === '' ? undefined : { side: 'air', term, words };
  const { type } = value;
  return [
    board('Type', typeWords(type)),
    board('Range', rangeWords(type)),
    board('One step', stepWords(type)),
    board('Unit', unitWords(type)),
    ...(type.kind === 'struct' ? type.fields.map((field) => board(field.label, fieldWords(field.type))) : []),
    board('At power-up', showBytes(type, value.start)),
    board('Drive', value.drive === undefined ? undefined : driveWords(value.drive, type)),
    board('Register', value.drive === undefined ? undefined : registerWords(value.drive, value)),
    board('Link lost', linkLossWords(value)),
    air('Access', value.access.join(', ').replaceAll('-', ' ')),
    air('Needs', needWords(value)),
    air('Tells', notifyWords(value)),
    air('Refuses', refusalWords(value)),
  ].filter((fact) => fact !== undefined);
}

function typeWords(type: ValueType): string {
  switch (type.kind) {
    case 'enum':
      return `${typeName(type)}: ${type.names.map(({ code, name }) => `${code} ${name}`).join(', ')}`;
    case 'flags':
      return `${typeName(type)}: ${type.names.map(({ bit, name }) => `bit ${bit} ${name}`).join(', ')}`;
    case 'text':
    case 'bytes':
      return `${typeName(type)}, ${lengthWords(type.minLength, type.maxLength)}`;
    case 'struct':
    case 'array': {
      const { min, max } = lengthRange(type);
      return `${typeName(type)}, ${lengthWords(min, max)}`;
    }
    default:
      return typeName(type);
  }
}

function rangeWords(type: ValueType): string | undefined {
  switch (type.kind) {
    case 'integer': {
      const special = type.special.map(({ code, name }) => `${code} is “${name}”`);
      return [showRange(type.range, type.unit), ...special].join('; ');
    }
    case 'float':
      return type.range === undefined ? 'any that the format can hold' : showRange(type.range, type.unit);
    case 'array':
      return rangeWords(type.element);
    default:
      return undefined;
  }
}

function stepWords(type: ValueType): string | undefined {
  if (type.kind === 'array') return stepWords(type.element);
  if (type.kind !== 'integer') return undefined;
  const step = resolution(type);
  if (step === undefined) return undefined;
  const words = showQuantity(step, type.unit);
  if (type.step === undefined) return words;
  const needed = showQuantity(type.step, type.unit);
  return needed === words ? `${words}, as needed` : `${words}; ${needed} is needed`;
}

function unitWords(type: ValueType): string | undefined {
  if (type.kind === 'array') return unitWords(type.element);
  if (type.kind !== 'integer' && type.kind !== 'float') return undefined;
  const unit = unitByCode(type.unit);
  return unit === undefined || unit.name === 'unitless' ? undefined : unit.name;
}

/** One field of a struct on one line. */
function fieldWords(type: ValueType): string {
  return [typeWords(type), rangeWords(type)].filter((part) => part !== undefined).join(', ');
}

const driveNames: Readonly<Record<Drive['kind'], string>> = {
  'phase-accumulator': 'phase accumulator',
  timer: 'timer',
  'pwm-duty': 'duty cycle',
  'pulse-width': 'pulse width',
  dac: 'digital to analogue converter',
  adc: 'analogue to digital converter',
  table: 'curve through points',
};

function driveWords(drive: Drive, type: ValueType): string {
  const fineness = threeDigits(driveResolution(drive, undefined, type));
  const step = type.kind === 'integer' ? withUnit(fineness, type.unit) : fineness;
  return `${driveNames[drive.kind]}, ${driveParts(drive)}; one step of the word is ${step}`;
}

/** `0.25`, `≈4.66 × 10⁻⁶`. */
function threeDigits(value: Rational): string {
  const exact = readableNumber(value);
  if (exact.length <= 8) return exact;
  const [digits = '', exponent = '0'] = toDouble(value).toExponential(2).split('e');
  return Number(exponent) === 0 ? `≈${digits}` : `≈${digits}\u00a0×\u00a010${superscript(Number(exponent))}`;
}

/** `20 kHz` */
function frequencyWords(clock: Rational): string {
  const steps = [
    { factor: 1_000_000, unit: 'MHz' },
    { factor: 1000, unit: 'kHz' },
  ];
  const step = steps.find(({ factor }) => compare(clock, rational(factor)) >= 0);
  if (step === undefined) return `${readableNumber(clock)} Hz`;
  return `${readableNumber(divide(clock, rational(step.factor)))} ${step.unit}`;
}

function driveParts(drive: Drive): string {
  switch (drive.kind) {
    case 'phase-accumulator':
      return `${drive.width} bits at ${frequencyWords(drive.clock)}`;
    case 'timer':
      return `${drive.reloadBits} bits at ${frequencyWords(drive.clock)}, divided by ${drive.prescalers.join(', ')}`;
    case 'pwm-duty':
      return `counting to ${drive.top}`;
    case 'pulse-width':
      return `${millisecondWords(drive.from.width)} to ${millisecondWords(drive.to.width)} at ${frequencyWords(drive.clock)}`;
    case 'dac':
    case 'adc':
      return `${drive.bits} bits, reference ${readableNumber(drive.reference)}, gain ${readableNumber(drive.gain)}`;
    case 'table':
      return `${drive.points.length} points, ${drive.bits} bits`;
  }
}

function millisecondWords(seconds: Rational): string {
  return `${readableNumber(multiply(seconds, rational(1000)))} ms`;
}

/** The register word for the value at power-up, and what it really gives. */
function registerWords(drive: Drive, { type, start }: ValueDefinition): string | undefined {
  const decoded = decode(type, start);
  if (!decoded.ok) return undefined;
  const physical = toPhysical(type, decoded.value);
  if (physical.kind !== 'number') return undefined;
  return `at power-up ${explainDrive(drive, type, physical.value)}`;
}

const isWritable = ({ access }: ValueDefinition): boolean =>
  access.includes('write') || access.includes('write-without-response');

function linkLossWords(value: ValueDefinition): string | undefined {
  const { onLinkLoss, type } = value;
  switch (onLinkLoss.kind) {
    case 'unsaid':
      return isWritable(value) ? 'stays as it is; nothing is said' : undefined;
    case 'keep':
      return 'stays as it is';
    case 'set':
      return `becomes ${showBytes(type, onLinkLoss.raw)} within ${showTime(onLinkLoss.within)}`;
  }
}

const needNames: Readonly<Record<Need, string>> = {
  open: 'nothing',
  encrypted: 'encryption',
  authenticated: 'authenticated pairing',
  'secure-connections': 'LE Secure Connections',
};

function needWords({ access, needs }: ValueDefinition): string | undefined {
  const has = (...words: readonly AccessWord[]): boolean => words.some((word) => access.includes(word));
  const asked = [
    { what: 'to read', need: needs.read, used: has('read') },
    { what: 'to write', need: needs.write, used: has('write', 'write-without-response') },
    { what: 'to subscribe', need: needs.subscribe, used: has('notify', 'indicate') },
  ].filter(({ used }) => used);
  if (asked.every(({ need }) => need === 'open')) return undefined;
  const first = asked[0];
  if (asked.every(({ need }) => need === first?.need)) return needNames[first?.need ?? 'open'];
  return asked
    .filter(({ need }) => need !== 'open')
    .map(({ what, need }) => `${needNames[need]} ${what}`)
    .join(', ');
}

function notifyWords({ notify, access }: ValueDefinition): string | undefined {
  if (notify === undefined) return undefined;
  const how = access.includes('notify') ? 'notifies' : 'indicates';
  const when = notify.on.kind === 'change' ? 'on change' : `every ${showTime(notify.on.period)}`;
  return `${how} ${when}${notify.minSpacing === undefined ? '' : `, ${rateWords(notify.minSpacing)}`}`;
}

/** `at most 10 a second`, `at most once in 5 s`. */
function rateWords(spacing: Microseconds): string {
  const perSecond = 1_000_000 / spacing;
  if (perSecond < 1) return `at most once in ${showTime(spacing)}`;
  return perSecond === 1 ? 'at most once a second' : `at most ${Number(perSecond.toFixed(2))} a second`;
}

function refusalWords(value: ValueDefinition): string | undefined {
  if (!isWritable(value) || rangeWords(value.type) === undefined) return undefined;
  const code = `0x${toHex(Uint8Array.of(value.refuseWith)).toUpperCase()}`;
  const name = attErrorName(value.refuseWith);
  return `other values with ${name.includes(code) ? name : `${code} ${name}`}`;
}
