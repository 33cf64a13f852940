import { compare, fromDouble, multiply, rational, type Rational } from '../../base/rational.ts';
import { seededRandom } from '../../base/random.ts';
import { codedRange, scaleFactor } from '../../values/physical.ts';
import type { IntegerType } from '../../values/type.ts';

/** A mistake that a client makes with the octets of a number. */
export type MisreadingKind =
  | 'other byte order'
  | 'signed as unsigned'
  | 'unsigned as signed'
  | 'half the width'
  | 'scale forgotten'
  | 'as float32';

export type Misreading = {
  readonly kind: MisreadingKind;
  /** Shares of the allowed codes, sum 1: read right by chance; read wrong but within the range; read wrong and outside it. */
  readonly same: number;
  readonly plausible: number;
  readonly outside: number;
};

export type MisreadingReport = {
  readonly kinds: readonly Misreading[];
  /** True when all allowed codes were tried, false when a few thousand spread over them were. */
  readonly exhaustive: boolean;
  /** Mistakes that give wrong values which hardly ever leave the range: nobody would notice. */
  readonly unnoticed: readonly MisreadingKind[];
  /** A value in the unit, at which as many of the mistakes as possible show themselves: a good one for a first test. */
  readonly telling: { readonly value: Rational; readonly shows: readonly MisreadingKind[] } | undefined;
};

const mostTried = 4096;
/** Below this share of values that show a mistake, it goes unnoticed. */
const noticed = 0.01;

/**
 * What comes of reading an integer wrongly: for each mistake, how many of the allowed codes give the right value all the
 * same, how many another value that the contract allows too, and how many one that it does not, so that somebody notices.
 *
 * @returns `undefined` for numbers that fill no whole octets: a client takes those apart bit by bit
 */
export function misreadings(type: IntegerType): MisreadingReport | undefined {
  if (type.bits % 8 !== 0) return undefined;
  const octets = type.bits / 8;
  const factor = scaleFactor(type.scale);
  const { codes, exhaustive } = codesToTry(type);
  const isSpecial = new Set(type.special.map(({ code }) => code));
  const mistakes = mistakesFor(type, octets);
  const counts = mistakes.map(() => ({ same: 0, plausible: 0, outside: 0 }));
  let telling: { code: bigint; shows: number[] } | undefined;
  let tried = 0;
  for (const code of codes) {
    if (isSpecial.has(code)) continue;
    tried += 1;
    const value = multiply(rational(code), factor);
    const shows: number[] = [];
    for (const [i, { read }] of mistakes.entries()) {
      const seen = read(code, value);
      const count = counts[i];
      if (count === undefined) continue;
      if (seen !== undefined && compare(seen, value) === 0) count.same += 1;
      else if (seen !== undefined && compare(seen, type.range.min) >= 0 && compare(seen, type.range.max) <= 0)
        count.plausible += 1;
      else {
        count.outside += 1;
        shows.push(i);
      }
    }
    const isMore = telling === undefined || shows.length > telling.shows.length;
    // Of those that show as many, the one nearest the middle is the easiest to bring about.
    const isNearer = telling?.shows.length === shows.length && fromMiddle(code, type) < fromMiddle(telling.code, type);
    if (isMore || isNearer) telling = { code, shows };
  }
  const share = (count: number): number => (tried === 0 ? 0 : count / tried);
  const kinds = mistakes.map(({ kind }, i) => {
    const { same, plausible, outside } = counts[i] ?? { same: 0, plausible: 0, outside: 0 };
    return { kind, same: share(same), plausible: share(plausible), outside: share(outside) };
  });
  return {
    kinds,
    exhaustive,
    unnoticed: kinds.filter(({ same, outside }) => same < 1 && outside < noticed).map(({ kind }) => kind),
    telling:
      telling === undefined || telling.shows.length === 0
        ? undefined
        : {
            value: multiply(rational(telling.code), factor),
            shows: telling.shows.flatMap((i) => mistakes[i]?.kind ?? []),
          },
  };
}

/** Twice the distance from the middle of the allowed codes. */
function fromMiddle(code: bigint, type: IntegerType): bigint {
  const { min, max } = codedRange(type);
  const twice = 2n * code - min - max;
  return twice < 0n ? -twice : twice;
}

/** All allowed codes, or one at random from each of many equal parts of them. */
function codesToTry(type: IntegerType): { readonly codes: readonly bigint[]; readonly exhaustive: boolean } {
  const { min, max } = codedRange(type);
  const count = max - min + 1n;
  if (count <= 0n) return { codes: [], exhaustive: true };
  if (count <= BigInt(mostTried)) {
    return { codes: Array.from({ length: Number(count) }, (_, i) => min + BigInt(i)), exhaustive: true };
  }
  const random = seededRandom(1);
  const scale = 1_000_000n;
  const codes = Array.from({ length: mostTried }, (_, i) => {
    const place = BigInt(i) * scale + BigInt(Math.floor(random.unit() * 1e6));
    return min + (place * (count - 1n)) / (BigInt(mostTried) * scale);
  });
  return { codes: [min, ...codes, max], exhaustive: false };
}

/** What is read, in the unit; `undefined` for what is no number. */
type Mistake = {
  readonly kind: MisreadingKind;
  readonly read: (code: bigint, value: Rational) => Rational | undefined;
};

function mistakesFor({ bits, signed, scale }: IntegerType, octets: number): readonly Mistake[] {
  const factor = scaleFactor(scale);
  const coded = (code: bigint): Rational => multiply(rational(code), factor);
  const all: Mistake[] = [];
  if (octets > 1) {
    all.push({ kind: 'other byte order', read: (code) => coded(asInteger(reversed(code, octets), bits, signed)) });
  }
  all.push({
    kind: signed ? 'signed as unsigned' : 'unsigned as signed',
    read: (code) => coded(asInteger(code, bits, !signed)),
  });
  if (octets > 1 && octets % 2 === 0) {
    all.push({ kind: 'half the width', read: (code) => coded(asInteger(code, bits / 2, signed)) });
  }
  if (scale.multiplier !== 1 || scale.decimal !== 0 || scale.binary !== 0) {
    all.push({ kind: 'scale forgotten', read: (code) => rational(code) });
  }
  if (octets === 4) {
    all.push({
      kind: 'as float32',
      read: (code) => {
        const seen = asFloat32(code);
        return Number.isFinite(seen) ? fromDouble(seen) : undefined;
      },
    });
  }
  return all;
}

/** The lowest `bits` of a code, with or without sign. */
function asInteger(code: bigint, bits: number, signed: boolean): bigint {
  return signed ? BigInt.asIntN(bits, code) : BigInt.asUintN(bits, code);
}

function reversed(code: bigint, octets: number): bigint {
  let rest = BigInt.asUintN(8 * octets, code);
  let turned = 0n;
  for (let i = 0; i < octets; i++) {
    turned = (turned << 8n) | (rest & 0xffn);
    rest >>= 8n;
  }
  return turned;
}

function asFloat32(code: bigint): number {
  const view = new DataView(new ArrayBuffer(4));
  view.setUint32(0, Number(BigInt.asUintN(32, code)));
  return view.getFloat32(0);
}
