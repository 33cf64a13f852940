import { signal, type ReadonlySignal } from '@preact/signals';

/** Something only the user can decide. `answers` are verbs on buttons; the first is the safe one. */
export type Question = {
  readonly text: string;
  readonly answers: readonly string[];
  /** Called once with the answer; `undefined` for closed without one. */
  readonly settle: (answer: string | undefined) => void;
};

const questionNow = signal<Question | undefined>(undefined);

export const question: ReadonlySignal<Question | undefined> = questionNow;

/** Asks the user and waits; a question that is still open is closed without an answer. */
export function askUser(text: string, answers: readonly string[]): Promise<string | undefined> {
  questionNow.value?.settle(undefined);
  return new Promise((resolve) => {
    questionNow.value = {
      text,
      answers,
      settle: (answer) => {
        questionNow.value = undefined;
        resolve(answer);
      },
    };
  });
}
