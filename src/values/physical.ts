import { bug } from '../base/bug.ts';
import { compare, divide, multiply, rational, roundHalfEven, subtract, zero, type Rational } from '../base/rational.ts';
import { checkCoded, outsideRange } from './check.ts';
import { codeFloat, codeSpecialFloat, floatPhysical, floatRange, floatSpecials } from './float-coding.ts';
import { ok, refuse, refuseWithin, type Refused } from './refusal.ts';
import { codedRange, scaleFactor } from './scale.ts';
import { exactNumber, readableNumber, withUnit } from './show-number.ts';
import type { Coded, FlagsType, FloatType, IntegerType, Physical, Result, ValueType } from './type.ts';

export { codedRange, fullRange, resolution, scaleFactor } from './scale.ts';

/** A coded value with what rounding did to it: the physical value really coded minus the one asked for. */
export type Quantised = { readonly coded: Coded; readonly error: Rational };

/** What a coded value means, exactly; also for values outside the range. */
export function toPhysical(type: ValueType, coded: Coded): Physical {
  switch (coded.kind) {
    case 'boolean':
    case 'text':
    case 'bytes':
      return coded;
    case 'double':
    case 'medfloat':
      return floatPhysical(coded);
    case 'integer':
      return integerToPhysical(type, coded.value);
    case 'struct':
      bug(type.kind === 'struct', `a struct is no ${type.kind}`);
      return {
        kind: 'record',
        fields: type.fields.map((field, i) => {
          const part = coded.fields[i];
          bug(part !== undefined, `the struct has no field ${i}`);
          return { id: field.id, value: toPhysical(field.type, part) };
        }),
      };
    case 'array':
      bug(type.kind === 'array', `an array is no ${type.kind}`);
      return { kind: 'list', items: coded.items.map((item) => toPhysical(type.element, item)) };
  }
}

/**
 * The coding of a physical value that a board takes: what comes out passes `checkCoded`.
 *
 * Numbers go to the nearest code, exactly half way to the even one; a number in the range that would so leave it goes to
 * the nearest code inside. Refused: a number outside the range or the format, a special code's number, an unknown name, a
 * text of a forbidden length, a value of another kind.
 *
 * @returns `error` is zero for what is no number, and for structs and arrays as a whole
 */
export function toCoded(type: ValueType, physical: Physical): Result<Quantised> {
  const coded = quantise(type, physical);
  if (!coded.ok) return coded;
  const refusal = checkCoded(type, coded.value.coded);
  return refusal === undefined ? coded : { ok: false, refusal };
}

function integerToPhysical(type: ValueType, code: bigint): Physical {
  switch (type.kind) {
    case 'integer': {
      const special = type.special.find((entry) => entry.code === code);
      if (special !== undefined) return { kind: 'special', name: special.name };
      return { kind: 'number', value: multiply(rational(code), scaleFactor(type.scale)) };
    }
    case 'enum':
      return { kind: 'choice', code, name: type.names.find((entry) => entry.code === code)?.name };
    case 'flags': {
      const named = type.names.filter((entry) => ((code >> BigInt(entry.bit)) & 1n) === 1n);
      const unnamed = named.reduce((rest, entry) => rest & ~(1n << BigInt(entry.bit)), code);
      return { kind: 'flags', set: named.map((entry) => entry.name), unnamed };
    }
    default:
      bug(false, `an integer is no ${type.kind}`);
  }
}

/** The nearest coding. Parts are checked one by one, so that what is refused is the first that a board refuses. */
function quantise(type: ValueType, physical: Physical): Result<Quantised> {
  switch (type.kind) {
    case 'boolean':
    case 'text':
    case 'bytes':
      return physical.kind === type.kind ? exactly(physical) : wrongKind(type, physical);
    case 'integer':
      if (physical.kind === 'number') return quantiseNumber(type, physical.value);
      return physical.kind === 'special' ? specialCode(type, physical.name) : wrongKind(type, physical);
    case 'float':
      if (physical.kind === 'number') return quantiseFloat(type, physical.value);
      return physical.kind === 'special' ? specialFloat(type, physical.name) : wrongKind(type, physical);
    case 'enum':
      return physical.kind === 'choice'
        ? exactly({ kind: 'integer', value: physical.code })
        : wrongKind(type, physical);
    case 'flags':
      return physical.kind === 'flags' ? flagBits(type, physical.set, physical.unnamed) : wrongKind(type, physical);
    case 'struct': {
      if (physical.kind !== 'record') return wrongKind(type, physical);
      const fields: Coded[] = [];
      for (const field of type.fields) {
        const given = physical.fields.find((entry) => entry.id === field.id);
        const part = given === undefined ? refuse('type', 'the field is missing') : toCoded(field.type, given.value);
        if (!part.ok) return refuseWithin(field.id, part);
        fields.push(part.value.coded);
      }
      const unknown = physical.fields.find((entry) => type.fields.every((field) => field.id !== entry.id));
      if (unknown !== undefined) return refuse('type', `the struct has no field \`${unknown.id}\``);
      return exactly({ kind: 'struct', fields });
    }
    case 'array': {
      if (physical.kind !== 'list') return wrongKind(type, physical);
      const items: Coded[] = [];
      for (const [i, item] of physical.items.entries()) {
        const part = toCoded(type.element, item);
        if (!part.ok) return refuseWithin(`[${i}]`, part);
        items.push(part.value.coded);
      }
      return exactly({ kind: 'array', items });
    }
  }
}

function exactly(coded: Coded): Result<Quantised> {
  return ok({ coded, error: zero });
}

function wrongKind(type: ValueType, physical: Physical): Refused {
  return refuse('type', `a ${physical.kind} stands where a value of kind ${type.kind} is needed`);
}

function quantiseNumber(type: IntegerType, asked: Rational): Result<Quantised> {
  if (compare(asked, type.range.min) < 0 || compare(asked, type.range.max) > 0) {
    return { ok: false, refusal: outsideRange(type, asked, type.range) };
  }
  const factor = scaleFactor(type.scale);
  const { min, max } = codedRange(type);
  const nearest = roundHalfEven(divide(asked, factor));
  const code = nearest < min ? min : nearest > max ? max : nearest;
  const special = type.special.find((entry) => entry.code === code);
  if (special !== undefined) {
    return refuse(
      'range',
      `${withUnit(exactNumber(asked), type.unit)} is coded ${code}, which means \`${special.name}\``,
    );
  }
  return ok({ coded: { kind: 'integer', value: code }, error: subtract(multiply(rational(code), factor), asked) });
}

function specialCode(type: IntegerType, name: string): Result<Quantised> {
  const special = type.special.find((entry) => entry.name === name);
  return special === undefined
    ? noSpecial(
        name,
        type.special.map((entry) => entry.name),
      )
    : exactly({ kind: 'integer', value: special.code });
}

function specialFloat(type: FloatType, name: string): Result<Quantised> {
  const coded = codeSpecialFloat(type.format, name);
  return coded === undefined ? noSpecial(name, floatSpecials(type.format)) : exactly(coded);
}

function noSpecial(name: string, known: readonly string[]): Refused {
  const allowed = known.length === 0 ? 'the type has none' : `the type has ${known.join(', ')}`;
  return refuse('type', `\`${name}\` is no special value; ${allowed}`);
}

function quantiseFloat(type: FloatType, asked: Rational): Result<Quantised> {
  const { range } = type;
  const held = floatRange(type);
  if (range !== undefined && held !== undefined) {
    // A bound may be held a little outside itself, and what is held there is allowed.
    const below = compare(asked, range.min) < 0 && compare(asked, held.min) < 0;
    const above = compare(asked, range.max) > 0 && compare(asked, held.max) > 0;
    if (below || above) return { ok: false, refusal: outsideRange(type, asked, range) };
  }
  const coded = codeFloat(type.format, asked);
  const nearest = coded === undefined ? undefined : floatPhysical(coded);
  if (coded === undefined || nearest?.kind !== 'number') {
    return refuse('range', `${withUnit(readableNumber(asked), type.unit)} is larger than a ${type.format} can hold`);
  }
  return ok({ coded, error: subtract(nearest.value, asked) });
}

function flagBits(type: FlagsType, set: readonly string[], unnamed: bigint): Result<Quantised> {
  let bits = unnamed;
  for (const name of set) {
    const flag = type.names.find((entry) => entry.name === name);
    if (flag === undefined) return refuse('type', `\`${name}\` is no flag of this type`);
    bits |= 1n << BigInt(flag.bit);
  }
  return exactly({ kind: 'integer', value: bits });
}
