import { bug } from '../../base/bug.ts';
import { showQuantity, readableNumber } from '../../values/show-number.ts';
import { integerPlan } from '../../values/drives/integer-plan.ts';
import type { IntegerPlan, PlanNumber, PlanSegment, PlanStep } from '../../values/drives/plan.ts';
import type { Drive } from '../../values/drives/model.ts';
import type { IntegerType } from '../../values/type.ts';
import { fullRange } from '../../values/scale.ts';
import { cType, literal, smallest, type CInteger } from './literal.ts';
import { snake, Names } from './names.ts';
import { Writer } from '../writer.ts';

/** A drive as a C function of integers. */
export type DriveFunction = {
  /** What stands over the declaration: sentences. */
  readonly comment: readonly string[];
  /** The struct of the words, when there are several; else empty. */
  readonly struct: readonly string[];
  /** The declaration without its semicolon. */
  readonly prototype: string;
  /** The whole definition. */
  readonly definition: string;
  readonly plan: IntegerPlan;
};

/**
 * The arithmetic of `integerPlan` printed as C: the same steps on the same widths, so that what is proved of the plan
 * holds for the function.
 *
 * @param name of the function; the struct of several words is `struct <name>_words`
 * @param what the value's label, for the comment
 * @returns `undefined` when no integer arithmetic of 64 bits leads to the register words
 */
export function renderDrive(drive: Drive, type: IntegerType, name: string, what: string): DriveFunction | undefined {
  const planned = integerPlan(drive, type);
  if (!planned.ok) return undefined;
  const plan = planned.value;
  const input = smallest(plan.input.bits, plan.input.signed);
  const several = plan.words.length > 1;
  const only = plan.words[0];
  bug(only !== undefined, 'a drive without words');
  const words = plan.words.map((word) => ({
    field: snake(word.name),
    type: smallest(word.bits, word.signed),
  }));
  const result = several ? 'void' : cType(smallest(only.bits, only.signed));
  const argument = `${cType(input)} ${plan.input.name}`;
  const prototype = `${result} ${name}(${argument}${several ? `, struct ${name}_words *words` : ''})`;
  const writer = new Writer();
  writer.block(`${prototype} {`, '}', () => {
    const wide: CInteger = { signed: plan.input.signed, bits: plan.input.bits > 32 ? 64 : 32 };
    writer.line(`${cType(wide)} input = ${plan.input.name};`);
    const full = fullRange(input.bits, input.signed);
    if (plan.input.from > full.min) {
      writer.line(`if (input < ${literal(plan.input.from, wide)}) input = ${literal(plan.input.from, wide)};`);
    }
    if (plan.input.to < full.max) {
      writer.line(`if (input > ${literal(plan.input.to, wide)}) input = ${literal(plan.input.to, wide)};`);
    }
    if (!readsInput(plan)) writer.line('(void)input;');
    const last = plan.segments.at(-1);
    for (const part of plan.segments) {
      if (part === last) renderSegment(writer, part, words, several);
      else {
        writer.block(`if (input <= ${literal(part.to, wide)}) {`, '}', () => {
          renderSegment(writer, part, words, several);
          if (several) writer.line('return;');
        });
      }
    }
  });
  return {
    comment: comment(drive, type, plan, what),
    struct: several
      ? [`struct ${name}_words {`, ...words.map((word) => `  ${cType(word.type)} ${word.field};`), '};']
      : [],
    prototype,
    definition: writer.text(),
    plan,
  };
}

type Word = { readonly field: string; readonly type: CInteger };

function renderSegment(writer: Writer, segment: PlanSegment, words: readonly Word[], several: boolean): void {
  const names = new Names();
  names.unique('input');
  names.unique('words');
  names.unique('code');
  names.unique('reading');
  const results: string[] = [];
  for (const step of segment.steps) {
    const name = names.unique(snake(step.name.replace(/[^A-Za-z0-9]+/g, '-').toLowerCase()));
    const type: CInteger = { signed: step.signed, bits: step.bits };
    writer.line(`const ${cType(type)} ${name} = ${operation(step, type, results)};`);
    results.push(name);
  }
  for (const [i, number] of segment.words.entries()) {
    const word = words[i];
    bug(word !== undefined, 'a plan with a word too many');
    const value =
      number.kind === 'constant'
        ? `(${cType(word.type)})${literal(number.value, { ...word.type, bits: word.type.bits > 32 ? 64 : 32 })}`
        : `(${cType(word.type)})${read(number, results)}`;
    writer.line(several ? `words->${word.field} = ${value};` : `return ${value};`);
  }
}

/** False for a plan that gives the same words for every input. */
function readsInput({ segments }: IntegerPlan): boolean {
  return (
    segments.length > 1 ||
    segments.some(({ steps, words }) =>
      [...steps.flatMap(({ left, right }) => [left, right]), ...words].some(({ kind }) => kind === 'input'),
    )
  );
}

function operation(step: PlanStep, type: CInteger, results: readonly string[]): string {
  const operand = (number: PlanNumber): string =>
    number.kind === 'constant' ? literal(number.value, type) : `(${cType(type)})${read(number, results)}`;
  const [left, right] = [operand(step.left), operand(step.right)];
  switch (step.operation) {
    case 'add':
      return `${left} + ${right}`;
    case 'subtract':
      return `${left} - ${right}`;
    case 'multiply':
      return `${left} * ${right}`;
    case 'divide':
      return `${left} / ${right}`;
    case 'remainder':
      return `${left} % ${right}`;
    case 'shift-right':
      return `${left} >> ${step.right.kind === 'constant' ? step.right.value.toString() : right}`;
    case 'greater':
      return `${left} > ${right} ? 1 : 0`;
    case 'minimum':
      return `${left} < ${right} ? ${left} : ${right}`;
  }
}

function read(number: PlanNumber, results: readonly string[]): string {
  if (number.kind === 'input') return 'input';
  bug(number.kind === 'step', 'a constant is read by its caller');
  const name = results[number.index];
  bug(name !== undefined, 'a plan step that reads a later one');
  return name;
}

function comment(drive: Drive, type: IntegerType, plan: IntegerPlan, what: string): string[] {
  const words = plan.words.map(({ name, bits }) => `${name} (${bits} bit)`).join(', ');
  const codes = `${plan.input.from} to ${plan.input.to}`;
  const sentences = [
    drive.kind === 'adc'
      ? `${what}: from the converter's ${plan.input.name}, ${codes}, to the raw value.`
      : `${what}: from the raw value, ${codes}, to the ${drive.kind} register: ${words}. A raw value outside is taken as the nearest end.`,
  ];
  if (drive.kind === 'timer') {
    sentences.push(
      `prescaler-index counts into ${drive.prescalers.join(', ')}; the period is prescaler * (reload + 1) clocks.`,
    );
  }
  const steps = readableNumber(plan.worstErrorWords);
  const value =
    plan.worstErrorValue.num === 0n
      ? 'the value is exact'
      : `the value at most ${showQuantity(plan.worstErrorValue, type.unit)} from the one asked`;
  const proof =
    plan.proof === 'exhaustive'
      ? 'tried for every raw value'
      : 'a proved bound; the greatest error that happens may be less';
  sentences.push(
    `The word is at most ${steps} steps from the exact one, ${value}: ${proof}. Integers of ${plan.intermediateBits} bits.`,
  );
  if (plan.segments.some(({ limited }) => limited !== undefined)) {
    sentences.push('Values beyond what the drive can do give the word of that end; the bounds do not count them.');
  }
  return sentences;
}
