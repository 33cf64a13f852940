import type { SourceRange } from '../../base/text-range.ts';
import { isFixedLength, lengthRange } from '../../values/codec.ts';
import { codedRange, fullPhysicalRange, fullRange, scaleFactor } from '../../values/scale.ts';
import { showQuantity } from '../../values/show-number.ts';
import { absolute } from '../../base/rational.ts';
import { typeName } from '../../values/show.ts';
import {
  unscaled,
  type ArrayType,
  type EnumType,
  type FlagsType,
  type FloatFormat,
  type FloatType,
  type IntegerType,
  type SpecialCode,
  type StructField,
  type StructType,
  type ValueType,
} from '../../values/type.ts';
import {
  integerFormat,
  isFloatWord,
  isIntegerWord,
  type TypeExpression,
  type ValueDraft,
  type ValueKeys,
} from '../entities/value-type.ts';
import type { Where } from '../model.ts';
import type { NamedCode } from '../shapes/composite.ts';
import {
  arrayElement,
  beyondAttribute,
  codeTooWide,
  duplicateCode,
  duplicateField,
  duplicateName,
  keyNotForType,
  lengthMissing,
  rangeEmpty,
  variableField,
} from './findings.ts';
import type { Report } from '../shapes/shape.ts';
import { idAsLabel } from './labels.ts';

const unitless = 0x2700;

/** Octets beyond which a value's type is not made: it would only cost memory. */
const beyondBounds = 8192;

/** A resolved type, and where the fields of its structs were written, by path. */
export type ResolvedType = { readonly type: ValueType; readonly places: ReadonlyMap<string, Where> };

/**
 * The value type that a characteristic or field says.
 *
 * @param standard the adopted format: holds for what the draft does not say
 * @returns `undefined` when something is missing or was refused; all is reported, but a missing type
 */
export function resolveType(
  draft: ValueDraft,
  standard: ValueType | undefined,
  report: Report,
): ResolvedType | undefined {
  const places = new Map<string, Where>();
  const type = new TypeBuilder(report, places).build(draft.values.type, draft, standard, '');
  return type === undefined ? undefined : { type, places };
}

type ValueKey = Exclude<keyof ValueKeys, 'type'>;

const valueKeys: readonly ValueKey[] = ['scale', 'unit', 'range', 'step', 'length', 'special'];
const integerKeys: readonly ValueKey[] = ['scale', 'unit', 'range', 'step', 'special'];
const floatKeys: readonly ValueKey[] = ['unit', 'range', 'step'];

class TypeBuilder {
  readonly #report: Report;
  readonly #places: Map<string, Where>;

  constructor(report: Report, places: Map<string, Where>) {
    this.#report = report;
    this.#places = places;
  }

  build(
    said: TypeExpression | undefined,
    draft: ValueDraft,
    standard: ValueType | undefined,
    path: string,
  ): ValueType | undefined {
    if (said === undefined) {
      // A type that was given and refused is no reason to take the standard's.
      return standard === undefined || draft.where.keys.has('type') ? undefined : this.#asStandard(standard, draft);
    }
    switch (said.kind) {
      case 'word': {
        const { word } = said;
        if (isIntegerWord(word)) return this.#integer(integerFormat(word), draft, standard);
        if (isFloatWord(word)) return this.#float(word, draft, standard);
        if (word === 'boolean') return this.#takes(draft, word, []) ? { kind: 'boolean' } : undefined;
        return this.#sized(word, draft, standard);
      }
      case 'enum':
        return this.#enumeration(said.base, said.names, draft);
      case 'flags':
        return this.#flags(said.base, said.names, draft);
      case 'struct':
        return this.#struct(said, draft, path);
      case 'array':
        return this.#array(said, draft, path);
    }
  }

  #asStandard(standard: ValueType, draft: ValueDraft): ValueType | undefined {
    switch (standard.kind) {
      case 'integer':
        return this.#integer(standard, draft, standard);
      case 'float':
        return this.#float(standard.format, draft, standard);
      case 'text':
        return this.#sized(standard.encoding, draft, standard);
      case 'bytes':
        return this.#sized('bytes', draft, standard);
      default:
        return this.#takes(draft, typeName(standard), []) ? standard : undefined;
    }
  }

  #integer(
    format: Pick<IntegerType, 'signed' | 'bits'>,
    draft: ValueDraft,
    standard: ValueType | undefined,
  ): IntegerType | undefined {
    const { signed, bits } = format;
    const word = `${signed ? 'sint' : 'uint'}${bits}`;
    const fits = this.#takes(draft, word, integerKeys);
    const codes = fullRange(bits, signed);
    const { values, where } = draft;
    const special = values.special === undefined ? [] : this.#specials(values.special, format, word, codes);
    if (!fits || special === undefined) return undefined;
    const base = standard?.kind === 'integer' ? standard : undefined;
    const scale = values.scale ?? base?.scale ?? unscaled;
    const unit = values.unit ?? base?.unit ?? unitless;
    const range = values.range ?? base?.range;
    const type: IntegerType = {
      kind: 'integer',
      signed,
      bits,
      scale,
      unit,
      range: range ?? fullPhysicalRange(bits, signed, scale),
      bounded: values.range !== undefined || (base?.bounded ?? false),
      step: values.step,
      special: values.special === undefined ? (base?.special ?? []) : special,
    };
    const allowed = codedRange(type);
    if (allowed.min <= allowed.max) return type;
    const at = where.keys.get('range')?.value ?? where.self;
    this.#report(rangeEmpty.at(at, { type: word, resolution: showQuantity(absolute(scaleFactor(scale)), unit) }));
    return undefined;
  }

  #specials(
    names: readonly NamedCode[],
    format: Pick<IntegerType, 'signed' | 'bits'>,
    word: string,
    codes: { readonly min: bigint; readonly max: bigint },
  ): readonly SpecialCode[] | undefined {
    const size = 1n << BigInt(format.bits);
    const signedCodes = names.map((named) => ({
      ...named,
      // In hex a code is a bit pattern: 0x8000 of a sint16 is -32768.
      code: named.hex && format.signed && named.code >= size / 2n && named.code < size ? named.code - size : named.code,
    }));
    return this.#named(signedCodes, word, codes)?.map(({ code, name }) => ({ code, name }));
  }

  #float(format: FloatFormat, draft: ValueDraft, standard: ValueType | undefined): FloatType | undefined {
    if (!this.#takes(draft, format, floatKeys)) return undefined;
    const base = standard?.kind === 'float' ? standard : undefined;
    const { unit, range, step } = draft.values;
    return { kind: 'float', format, unit: unit ?? base?.unit ?? unitless, range: range ?? base?.range, step };
  }

  #sized(word: 'utf8' | 'utf16' | 'bytes', draft: ValueDraft, standard: ValueType | undefined): ValueType | undefined {
    if (!this.#takes(draft, word, ['length'])) return undefined;
    const base =
      standard?.kind === 'text' || standard?.kind === 'bytes'
        ? { min: standard.minLength, max: standard.maxLength }
        : undefined;
    const length = draft.values.length ?? base;
    if (length === undefined) {
      this.#report(lengthMissing.at(draft.where.keys.get('type')?.value ?? draft.where.self, { type: word }));
      return undefined;
    }
    const lengths = { minLength: length.min, maxLength: length.max };
    return word === 'bytes' ? { kind: 'bytes', ...lengths } : { kind: 'text', encoding: word, ...lengths };
  }

  #enumeration(
    base: 'uint8' | 'uint16' | 'uint32',
    names: readonly NamedCode[],
    draft: ValueDraft,
  ): EnumType | undefined {
    const fits = this.#takes(draft, `an enumeration of ${base}`, []);
    const bits = ({ uint8: 8, uint16: 16, uint32: 32 } as const)[base];
    const named = this.#named(names, base, fullRange(bits, false));
    if (!fits || named === undefined) return undefined;
    return { kind: 'enum', bits, names: named.map(({ code, name }) => ({ code, name })) };
  }

  #flags(
    base: 'uint8' | 'uint16' | 'uint24' | 'uint32',
    names: readonly NamedCode[],
    draft: ValueDraft,
  ): FlagsType | undefined {
    const fits = this.#takes(draft, `flags of ${base}`, []);
    const bits = ({ uint8: 8, uint16: 16, uint24: 24, uint32: 32 } as const)[base];
    const named = this.#named(names, `flags of ${base}`, { min: 0n, max: BigInt(bits) - 1n });
    if (!fits || named === undefined) return undefined;
    return { kind: 'flags', bits, names: named.map(({ code, name }) => ({ bit: Number(code), name })) };
  }

  #struct(said: Extract<TypeExpression, { kind: 'struct' }>, draft: ValueDraft, path: string): ValueType | undefined {
    let sound = this.#takes(draft, 'a struct', []) && said.sound;
    const fields: StructField[] = [];
    const seen = new Map<string, SourceRange>();
    for (const [i, field] of said.fields.entries()) {
      const { id, label } = field.values;
      const idAt = field.where.keys.get('id')?.value ?? field.where.self;
      const inner = path === '' ? (id ?? '') : `${path}.${id ?? ''}`;
      const type = this.build(field.values.type, field, undefined, inner);
      if (id === undefined || type === undefined || field.whole === undefined) {
        sound = false;
        continue;
      }
      const before = seen.get(id);
      if (before !== undefined) {
        const related = [{ message: `\`${id}\` stands first here`, at: before }];
        this.#report(duplicateField.at(idAt, { id }, { related }));
        sound = false;
        continue;
      }
      seen.set(id, idAt);
      if (i < said.fields.length - 1 && !isFixedLength(type)) {
        const at = field.where.keys.get('length')?.value ?? field.where.keys.get('type')?.value ?? idAt;
        this.#report(variableField.at(at, { id }));
        sound = false;
        continue;
      }
      this.#places.set(inner, field.where);
      fields.push({ id, label: label ?? idAsLabel(id), type });
    }
    return sound ? this.#bounded({ kind: 'struct', fields }, said.at) : undefined;
  }

  #array(said: Extract<TypeExpression, { kind: 'array' }>, draft: ValueDraft, path: string): ArrayType | undefined {
    const element = this.build(said.element, draft, undefined, path);
    if (element === undefined) return undefined;
    const why = elementProblem(element);
    if (why !== undefined) {
      this.#report(arrayElement.at(said.element.at, { element: typeName(element), why }));
      return undefined;
    }
    return this.#bounded({ kind: 'array', element, minCount: said.minCount, maxCount: said.maxCount }, said.at);
  }

  /** Values within a factor of what an attribute holds; a lint tells of those that are merely too long. */
  #bounded<T extends ArrayType | StructType>(type: T, at: SourceRange): T | undefined {
    const octets = lengthRange(type).max;
    if (octets <= beyondBounds) return type;
    this.#report(beyondAttribute.at(at, { type: typeName(type), octets }));
    return undefined;
  }

  /** Codes within the width, each with one name of its own. */
  #named(
    names: readonly NamedCode[],
    type: string,
    codes: { readonly min: bigint; readonly max: bigint },
  ): readonly NamedCode[] | undefined {
    const byCode = new Map<bigint, SourceRange>();
    const byName = new Map<string, SourceRange>();
    let sound = true;
    for (const { code, hex, name, codeAt, nameAt } of names) {
      const shown = hex && code >= 0n ? `0x${code.toString(16).toUpperCase()}` : code.toString();
      if (code < codes.min || code > codes.max) {
        this.#report(
          codeTooWide.at(codeAt, { code: shown, type, min: codes.min.toString(), max: codes.max.toString() }),
        );
        sound = false;
      }
      const sameCode = byCode.get(code);
      if (sameCode === undefined) byCode.set(code, codeAt);
      else {
        const related = [{ message: 'it is named first here', at: sameCode }];
        this.#report(duplicateCode.at(codeAt, { code: shown }, { related }));
        sound = false;
      }
      const sameName = byName.get(name);
      if (sameName === undefined) byName.set(name, nameAt);
      else {
        const related = [{ message: `\`${name}\` stands first here`, at: sameName }];
        this.#report(duplicateName.at(nameAt, { name }, { related }));
        sound = false;
      }
    }
    return sound ? names : undefined;
  }

  /** Reports keys that the type does not have; false when one was, or when one that it has was refused before. */
  #takes(draft: ValueDraft, type: string, allowed: readonly ValueKey[]): boolean {
    let sound = true;
    for (const key of valueKeys) {
      const place = draft.where.keys.get(key);
      if (place === undefined) continue;
      if (!allowed.includes(key)) {
        this.#report(keyNotForType.at(place.key, { key, type, allowed }));
        sound = false;
      } else if (draft.values[key] === undefined) sound = false;
    }
    return sound;
  }
}

/** Why the type cannot be an element; `undefined` when it can. */
function elementProblem(type: ValueType): string | undefined {
  if (type.kind === 'integer' && type.bits % 8 !== 0) return `has ${type.bits} bits`;
  if (!isFixedLength(type)) return 'varies in length';
  return undefined;
}
