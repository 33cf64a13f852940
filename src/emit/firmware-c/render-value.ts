import { multiply, rational } from '../../base/rational.ts';
import { decode } from '../../values/codec.ts';
import { codedRange, resolution, scaleFactor } from '../../values/scale.ts';
import { showBytes, typeName } from '../../values/show.ts';
import { readableNumber, showQuantity, showRange } from '../../values/show-number.ts';
import type { IntegerType, ValueType } from '../../values/type.ts';
import { unitByCode } from '../../numbers/units.ts';
import type { ValueDefinition } from '../../table/model.ts';
import { Writer } from '../writer.ts';
import { blockComment } from './comment.ts';
import { cType, literal } from './literal.ts';
import { upper, type Names } from './names.ts';
import { renderDrive } from './render-drive.ts';
import { getNumber, getStatements, loopVariables, putStatements } from './render-packing.ts';
import { scalingOf, type Scaling } from './scaling.ts';
import {
  codesFit,
  dimensions,
  enumerators,
  masks,
  memberText,
  partsOf,
  shapeOf,
  typeText,
  varies,
  type Shape,
} from './shape.ts';

/** One value of the contract in C. */
export type RenderedValue = {
  /** Comment and macros: index, sizes, codes. */
  readonly macros: readonly string[];
  /** Enums and structs, empty lines between. */
  readonly types: readonly string[];
  /** With their comments, each ending in `;`. */
  readonly declarations: readonly string[];
  readonly definitions: readonly string[];
  /** The declaration of the change handler without its semicolon, for what others than the program change. */
  readonly handler: string | undefined;
  /** The lines of the `case` that calls the handler. */
  readonly dispatch: readonly string[];
  readonly name: string;
  /** For a value with a drive: lines that make the register words of `value`, for an example. */
  readonly driveCall: readonly string[];
};

export type ValueContext = {
  /** Lower case. */
  readonly prefix: string;
  readonly macros: Names;
  readonly functions: Names;
  readonly tags: Names;
  readonly lineOf: (definition: ValueDefinition) => number;
};

export function renderValue(definition: ValueDefinition, context: ValueContext): RenderedValue {
  const { prefix } = context;
  const name = definition.id.replaceAll('-', '_');
  const shape = shapeOf(definition.type, `${prefix}_${name}`, context.tags);
  const macro = context.macros.unique(`${prefix}_${name}`.toUpperCase());
  const made: Made = { definition, context, name, shape, macro, board: `struct ${prefix} *board` };
  const packing = packingFunctions(made);
  const setter = setterOf(made);
  const getter = getterOf(made);
  const scaled = scaledFunctions(made);
  const drive = driveFunction(made);
  const handler = changes(definition) ? handlerOf(made) : undefined;
  return {
    macros: [...blockComment(describe(made)), ...macroLines(made)],
    types: [...typeLines(made), ...drive.types],
    declarations: [...setter.declarations, ...getter.declarations, ...scaled.declarations, ...drive.declarations],
    definitions: [
      ...packing,
      ...setter.definitions,
      ...getter.definitions,
      ...scaled.definitions,
      ...drive.definitions,
    ],
    handler,
    dispatch: handler === undefined ? [] : dispatchLines(made),
    name,
    driveCall: drive.call,
  };
}

type Made = {
  readonly definition: ValueDefinition;
  readonly context: ValueContext;
  readonly name: string;
  readonly shape: Shape;
  readonly macro: string;
  /** The first parameter of every function. */
  readonly board: string;
};

type Functions = { readonly declarations: readonly string[]; readonly definitions: readonly string[] };

/** Whether others than the board's own program change the value in normal running. */
function changes({ access, onLinkLoss }: ValueDefinition): boolean {
  return access.includes('write') || access.includes('write-without-response') || onLinkLoss.kind === 'set';
}

// What a person reads over a value.

function describe({ definition, context }: Made): string[] {
  const { type, label, access, handle, start, onLinkLoss } = definition;
  const unit = 'unit' in type ? unitByCode(type.unit)?.name : undefined;
  const sentences = [
    `${label}${unit === undefined ? '' : `, ${unit}`}: ${typeName(type)}. Contract line ${context.lineOf(definition)}; ` +
      `handle 0x${handle.toString(16).toUpperCase().padStart(4, '0')}; clients ${access.join(', ')}.`,
    ...rangeSentences(type),
    `Starts as ${showBytes(type, start)}.`,
  ];
  if (definition.needs.read !== 'open' || definition.needs.write !== 'open') {
    sentences.push(`A link must be ${definition.needs.read} to read it, ${definition.needs.write} to write it.`);
  }
  if (onLinkLoss.kind === 'set') {
    sentences.push(
      `When the last client has gone it becomes ${showBytes(type, onLinkLoss.raw)} after ${onLinkLoss.within / 1000} ms.`,
    );
  }
  if (definition.actuator) sentences.push('It acts on the world: limits and stops belong in hardware.');
  return sentences;
}

function rangeSentences(type: ValueType): string[] {
  if (type.kind === 'float') {
    const format = type.format.startsWith('float')
      ? 'IEEE 754 bits'
      : 'IEEE 11073 bits, see gw_medfloat16 and gw_medfloat32';
    return [`Raw: ${format}.${type.range === undefined ? '' : ` Allowed: ${showRange(type.range, type.unit)}.`}`];
  }
  if (type.kind === 'struct') return [];
  if (type.kind === 'array') return rangeSentences(type.element).map((sentence) => `Each item: ${sentence}`);
  if (type.kind !== 'integer') return [];
  const { min, max } = codedRange(type);
  const special = type.special.map(({ code, name }) => ` ${code} stands for ${name}.`).join('');
  const step = resolution(type);
  const one =
    step === undefined || (step.num === 1n && step.den === 1n) ? '' : `, one step is ${showQuantity(step, type.unit)}`;
  return [`Raw ${min} to ${max}${one}: ${showRange(type.range, type.unit)}.${special}`];
}

// Macros and types.

function macroLines({ definition, context, macro, shape }: Made): string[] {
  const { type, index, minLength, maxLength, start } = definition;
  const define = (suffix: string, value: string): string =>
    `#define ${context.macros.unique(`${macro}${suffix}`)} ${value}`;
  const lines = [`#define ${macro} UINT16_C(${index})`];
  if (minLength === maxLength) lines.push(define('_SIZE', `${maxLength}u`));
  else lines.push(define('_MIN_SIZE', `${minLength}u`), define('_MAX_SIZE', `${maxLength}u`));
  if (shape.kind === 'array') lines.push(define('_COUNT', `${shape.max}u`));
  if (type.kind === 'integer' && shape.kind === 'number') {
    const { min, max } = codedRange(type);
    const decoded = decode(type, start);
    lines.push(define('_MIN', literal(min, shape.type)), define('_MAX', literal(max, shape.type)));
    if (decoded.ok && decoded.value.kind === 'integer') {
      lines.push(define('_START', literal(decoded.value.value, shape.type)));
    }
    for (const { code, name } of type.special) {
      lines.push(define(`_${upper(name) ?? 'SPECIAL'}`, literal(code, shape.type)));
    }
  }
  return lines;
}

function typeLines({ shape, context, name }: Made): string[] {
  const lines: string[] = [];
  for (const part of partsOf(shape)) {
    const writer = new Writer();
    if (part.kind === 'flags') {
      const own = `${context.prefix}_${name}`.toUpperCase();
      for (const { name: mask, bit, about } of masks(part.of, own, context.macros)) {
        writer.line(`#define ${mask} ${literal(1n << BigInt(bit), part.type)} ${blockComment([about]).join(' ')}`);
      }
    } else if (part.kind === 'enum') {
      const entries = enumerators(part.of, part.tag.toUpperCase(), context.macros);
      if (codesFit(part.of)) {
        writer.block(`enum ${part.tag} {`, '};', () => {
          for (const [i, { name: entry, code, about }] of entries.entries()) {
            writer.line(`${entry} = ${code}${i === entries.length - 1 ? '' : ','} ${blockComment([about]).join(' ')}`);
          }
        });
      } else {
        for (const { name: entry, code, about } of entries) {
          writer.line(`#define ${entry} ${literal(code, part.type)} ${blockComment([about]).join(' ')}`);
        }
      }
    } else {
      writer.block(`struct ${part.tag} {`, '};', () => {
        for (const field of part.fields) {
          writer.lines(blockComment([`${field.label}${unitText(field.type)}.`, ...rangeSentences(field.type)]));
          writer.lines(memberText(field));
        }
        if (part.fields.every((field) => memberText(field).length === 0)) writer.line('char nothing;');
      });
    }
    lines.push('', ...writer.text().trimEnd().split('\n'));
  }
  return lines.slice(1);
}

function unitText(type: ValueType): string {
  const unit = type.kind === 'integer' || type.kind === 'float' ? unitByCode(type.unit) : undefined;
  return unit === undefined || unit.symbol === '' ? '' : `, ${unit.name}`;
}

// Functions.

/** How a value is handed in: parameters, and the expressions that its octets are made from. */
function parameters({ shape }: Made, constant: boolean): { text: string; value: string; count: string } {
  const type = typeText(shape);
  switch (shape.kind) {
    case 'struct':
      return { text: `${constant ? 'const ' : ''}${type} *value`, value: '(*value)', count: '' };
    case 'octets':
    case 'array': {
      const count = shape.kind === 'octets' ? 'length' : 'count';
      const inner = shape.kind === 'array' ? dimensions(shape.element) : '';
      // In C99 a pointer to arrays is no pointer to constant arrays: what is handed in stays without `const`.
      const pointer = inner === '' ? `${constant ? 'const ' : ''}${type} *value` : `${type} (*value)${inner}`;
      return { text: varies(shape) ? `${pointer}, uint16_t ${count}` : pointer, value: 'value', count };
    }
    default:
      return { text: `${type} value`, value: 'value', count: '' };
  }
}

function isScalar(shape: Shape): shape is Extract<Shape, { kind: 'boolean' | 'number' | 'enum' | 'flags' }> {
  return shape.kind !== 'struct' && shape.kind !== 'octets' && shape.kind !== 'array';
}

/** Whether the octets in memory are the value as it is. */
function isPlain(shape: Shape): shape is Extract<Shape, { kind: 'octets' }> {
  return shape.kind === 'octets';
}

function arrow(text: string): string {
  return text.replaceAll('(*value).', 'value->');
}

/** Static functions that pack and unpack a struct or an array. */
function packingFunctions(made: Made): string[] {
  const { shape, name, definition } = made;
  if (isScalar(shape) || isPlain(shape)) return [];
  const variables = loopVariables(shape);
  const declare = variables.length === 0 ? [] : [`uint16_t ${variables.join(', ')};`];
  const pack = new Writer();
  const given = parameters(made, true);
  pack.block(`static void pack_${name}(uint8_t *octets, ${given.text}) {`, '}', () => {
    pack.lines(declare);
    if (hasGaps(shape)) pack.line(`for (i = 0; i < ${definition.minLength}; i++) octets[i] = 0;`);
    putStatements(pack, shape, given.value, given.count);
  });
  const unpack = new Writer();
  const taken = parameters(made, false);
  const counted = taken.count === '' ? '' : taken.count;
  const into = taken.text.replace(`, uint16_t ${counted}`, '');
  const length = isVariable(made) ? ', uint16_t length' : '';
  const result = varies(shape) ? 'uint16_t' : 'void';
  unpack.block(`static ${result} unpack_${name}(${into}, const uint8_t *octets${length}) {`, '}', () => {
    unpack.lines(declare);
    if (varies(shape)) unpack.line(`uint16_t ${counted};`);
    getStatements(unpack, shape, taken.value, counted);
    if (varies(shape)) unpack.line(`return ${counted};`);
  });
  return [addLoop(arrow(pack.text()), hasGaps(shape), variables), arrow(unpack.text())];
}

/** A loop variable for the zeros that packed bits begin with, where none is declared yet. */
function addLoop(text: string, gaps: boolean, variables: readonly string[]): string {
  return gaps && variables.length === 0 ? text.replace('{\n', '{\n  uint16_t i;\n') : text;
}

function hasGaps(shape: Shape): boolean {
  if (shape.kind === 'array') return hasGaps(shape.element);
  return shape.kind === 'struct' && shape.fields.some((field) => field.bits !== undefined || hasGaps(field.shape));
}

function isVariable({ definition }: Made): boolean {
  return definition.minLength !== definition.maxLength;
}

function octetsOf({ definition }: Made): number {
  return Math.max(1, definition.maxLength);
}

/** Statements that leave the value's octets in `octets`, and the expression of their number. */
function packed(made: Made): { lines: string[]; length: string } {
  const { shape, name, definition } = made;
  const writer = new Writer();
  if (isScalar(shape)) putStatements(writer, shape, 'value', '');
  else writer.line(`pack_${name}(octets, value${varies(shape) ? `, ${parameters(made, true).count}` : ''});`);
  return { lines: writer.text().trimEnd().split('\n'), length: lengthOf(shape, definition.minLength) };
}

/** Octets of a packed value. */
function lengthOf(shape: Shape, fixed: number): string {
  if (shape.kind === 'array' && varies(shape)) {
    return `(uint16_t)(${shape.elementOctets === 1 ? '' : `${shape.elementOctets} * `}count)`;
  }
  const last = shape.kind === 'struct' ? shape.fields.at(-1) : undefined;
  if (last === undefined || !isVariableShape(last.shape)) return `${fixed}`;
  return `(uint16_t)(${last.bitOffset / 8} + ${lastLength(last.shape, `value->${last.name}`)})`;
}

function isVariableShape(shape: Shape): boolean {
  if (shape.kind === 'struct') return shape.fields.some((field) => isVariableShape(field.shape));
  return varies(shape);
}

function lastLength(shape: Shape, path: string): string {
  if (shape.kind === 'octets') return `${path}_length`;
  if (shape.kind === 'array')
    return shape.elementOctets === 1 ? `${path}_count` : `${shape.elementOctets} * ${path}_count`;
  const last = shape.kind === 'struct' ? shape.fields.at(-1) : undefined;
  return last === undefined ? '0' : `${last.bitOffset / 8} + ${lastLength(last.shape, `${path}.${last.name}`)}`;
}

/** Length or count that is too large for the caller's array must not be read. */
function guard(shape: Shape): string[] {
  if (shape.kind === 'array' && varies(shape)) return [`if (count > ${shape.max}) return GW_ERROR_LENGTH;`];
  const last = shape.kind === 'struct' ? lastVarying(shape, 'value->') : undefined;
  return last === undefined ? [] : [`if (${last.path} > ${last.max}) return GW_ERROR_LENGTH;`];
}

function lastVarying(shape: Shape, path: string): { path: string; max: number } | undefined {
  const last = shape.kind === 'struct' ? shape.fields.at(-1) : undefined;
  if (last === undefined) return undefined;
  if ((last.shape.kind === 'octets' || last.shape.kind === 'array') && varies(last.shape)) {
    const word = last.shape.kind === 'octets' ? 'length' : 'count';
    return last.shape.max === 0 ? undefined : { path: `${path}${last.name}_${word}`, max: last.shape.max };
  }
  return lastVarying(last.shape, `${path}${last.name}.`);
}

function setterOf(made: Made): Functions {
  const { context, name, shape, macro, board } = made;
  const given = parameters(made, true);
  const prototype = `enum gw_status ${context.functions.unique(`${context.prefix}_set_${name}`)}(${board}, ${given.text})`;
  const writer = new Writer();
  writer.block(`${prototype} {`, '}', () => {
    if (isPlain(shape)) {
      const length = varies(shape) ? 'length' : `${shape.max}`;
      const cast = shape.element === 'char' ? '(const uint8_t *)value' : 'value';
      writer.line(`return gw_board_set(&board->board, ${macro}, ${cast}, ${length}, GW_RIG);`);
      return;
    }
    writer.line(`uint8_t octets[${octetsOf(made)}];`);
    writer.lines(guard(shape));
    const { lines, length } = packed(made);
    writer.lines(lines);
    writer.line(`return gw_board_set(&board->board, ${macro}, octets, ${length}, GW_RIG);`);
  });
  return {
    declarations: ["/* Changes the value, checked as a client's write is. */", `${prototype};`],
    definitions: [writer.text()],
  };
}

function getterOf(made: Made): Functions {
  const { context, name, shape, macro, board } = made;
  const function_ = context.functions.unique(`${context.prefix}_get_${name}`);
  const writer = new Writer();
  if (isScalar(shape)) {
    const prototype = `${typeText(shape)} ${function_}(${board})`;
    writer.block(`${prototype} {`, '}', () => {
      writer.line(`uint8_t octets[${octetsOf(made)}];`);
      writer.line(`(void)gw_board_copy(&board->board, ${macro}, octets, ${octetsOf(made)});`);
      writer.line(`return ${scalarExpression(shape)};`);
    });
    return { declarations: ['/* The value now. */', `${prototype};`], definitions: [writer.text()] };
  }
  if (isPlain(shape)) {
    const prototype = `uint16_t ${function_}(${board}, ${shape.element} *value, uint16_t room)`;
    writer.block(`${prototype} {`, '}', () => {
      const cast = shape.element === 'char' ? '(uint8_t *)value' : 'value';
      writer.line(`return gw_board_copy(&board->board, ${macro}, ${cast}, room);`);
    });
    return {
      declarations: [
        '/* Copies at most `room` octets; returns the length of the whole, without a NUL behind it. */',
        `${prototype};`,
      ],
      definitions: [writer.text()],
    };
  }
  const taken = parameters(made, false);
  const into = taken.text.replace(/, uint16_t count$/, '');
  const prototype = `${varies(shape) ? 'uint16_t' : 'void'} ${function_}(${board}, ${into})`;
  writer.block(`${prototype} {`, '}', () => {
    writer.line(`uint8_t octets[${octetsOf(made)}];`);
    const variable = isVariable(made);
    writer.line(
      `${variable ? 'uint16_t length =' : '(void)'}${variable ? ' ' : ''}gw_board_copy(&board->board, ${macro}, octets, ${octetsOf(made)});`,
    );
    writer.line(`${varies(shape) ? 'return ' : ''}unpack_${name}(value, octets${variable ? ', length' : ''});`);
  });
  const about = varies(shape)
    ? `/* Copies the items, at most ${macro}_COUNT; returns how many there are. */`
    : '/* Copies the value. */';
  return { declarations: [about, `${prototype};`], definitions: [writer.text()] };
}

function scalarExpression(shape: Extract<Shape, { kind: 'boolean' | 'number' | 'enum' | 'flags' }>): string {
  return shape.kind === 'boolean' ? 'octets[0] != 0' : getNumber(shape);
}

function scaledFunctions(made: Made): Functions {
  const { context, name, definition, shape } = made;
  const { type } = definition;
  if (type.kind !== 'integer' || shape.kind !== 'number') return { declarations: [], definitions: [] };
  const scaling = scalingOf(type);
  if (scaling === undefined) return { declarations: [], definitions: [] };
  const own = cType(scaling.type);
  const get = context.functions.unique(`${context.prefix}_get_${name}_${scaling.suffix}`);
  const set = context.functions.unique(`${context.prefix}_set_${name}_${scaling.suffix}`);
  const getPrototype = `${own} ${get}(${made.board})`;
  const setPrototype = `enum gw_status ${set}(${made.board}, ${own} value)`;
  const getter = new Writer();
  getter.block(`${getPrototype} {`, '}', () => {
    getter.line(
      `return ${scaleCall(scaling, `${context.prefix}_get_${name}(board)`, scaling.factor, scaling.divisor, own)};`,
    );
  });
  const setter = new Writer();
  setter.block(`${setPrototype} {`, '}', () => {
    const { least, greatest } = scaling;
    const whole = { min: -(1n << BigInt(scaling.type.bits - 1)), max: (1n << BigInt(scaling.type.bits - 1)) - 1n };
    const tests = [
      ...(least > whole.min ? [`value < ${literal(least, scaling.type)}`] : []),
      ...(greatest < whole.max ? [`value > ${literal(greatest, scaling.type)}`] : []),
    ];
    if (tests.length > 0) setter.line(`if (${tests.join(' || ')}) return GW_ERROR_RANGE;`);
    const sign = scaling.factor < 0n ? -1n : 1n;
    const raw = scaleCall(scaling, 'value', sign * scaling.divisor, sign * scaling.factor, cType(shape.type));
    setter.line(`return ${context.prefix}_set_${name}(board, ${raw});`);
  });
  const how = scaling.exact ? 'exactly' : 'rounded to the nearest';
  const step = showStep(type, scaling);
  return {
    declarations: [
      ...blockComment([`The same in ${scaling.words}, ${how}; what is set becomes the nearest raw value (${step}).`]),
      `${getPrototype};`,
      `${setPrototype};`,
    ],
    definitions: [getter.text(), setter.text()],
  };
}

function showStep(type: IntegerType, { factor, divisor }: Scaling): string {
  const one = multiply(scaleFactor(type.scale), rational(1));
  return `one step is ${readableNumber(rational(factor, divisor))}, ${showQuantity(one, type.unit)}`;
}

function scaleCall(scaling: Scaling, value: string, factor: bigint, divisor: bigint, result: string): string {
  const type = { signed: true, bits: scaling.bits } as const;
  if (divisor === 1n) return `(${result})((${cType(type)})${value} * ${literal(factor, type)})`;
  const call = scaling.bits === 64 ? 'gw_scale64' : 'gw_scale';
  return `(${result})${call}((${cType(type)})${value}, ${literal(factor, type)}, ${literal(divisor, type)})`;
}

type DriveText = Functions & { readonly types: readonly string[]; readonly call: readonly string[] };

function driveFunction({ definition, context, name }: Made): DriveText {
  const { type, drive, label } = definition;
  const nothing = { declarations: [], definitions: [], types: [], call: [] };
  if (drive === undefined || type.kind !== 'integer') return nothing;
  const own = context.functions.unique(`${context.prefix}_drive_${name}`);
  const made = renderDrive(drive, type, own, label);
  if (made === undefined) return nothing;
  const word = made.prototype.slice(0, made.prototype.indexOf(' '));
  const call =
    made.struct.length > 0
      ? [`struct ${own}_words words;`, `${own}(value, &words);`, '(void)words; /* for the registers */']
      : [`${word} word = ${own}(value);`, '(void)word; /* for the register */'];
  return {
    call,
    types: made.struct,
    declarations: [...blockComment(made.comment), `${made.prototype};`],
    definitions: [made.definition],
  };
}

// Change handlers.

function handlerOf(made: Made): string {
  const { context, name, board } = made;
  const on = context.functions.unique(`${context.prefix}_on_${name}`);
  return `void ${on}(${board}, ${parameters(made, true).text}, enum gw_cause cause)`;
}

function dispatchLines(made: Made): string[] {
  const { shape, name, macro, context } = made;
  const call = (value: string): string => `${context.prefix}_on_${name}(board, ${value}, cause);`;
  if (isScalar(shape)) return [`case ${macro}:`, `  ${call(scalarExpression(shape))}`, '  break;'];
  if (isPlain(shape)) {
    const value = shape.element === 'char' ? '(const char *)octets' : 'octets';
    return [`case ${macro}:`, `  ${call(varies(shape) ? `${value}, length` : value)}`, '  break;'];
  }
  const variable = isVariable(made) ? ', length' : '';
  const declared =
    shape.kind === 'struct' ? `${typeText(shape)} value;` : `${typeText(shape)} value${dimensions(shape)};`;
  const place = shape.kind === 'struct' ? '&value' : 'value';
  const calls = varies(shape)
    ? [`uint16_t count = unpack_${name}(value, octets${variable});`, call('value, count')]
    : [`unpack_${name}(${place}, octets${variable});`, call(place)];
  return [`case ${macro}: {`, `  ${declared}`, ...calls.map((line) => `  ${line}`), '  break;', '}'];
}
