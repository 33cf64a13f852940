import type { JSX } from 'preact';
import { question } from '../stores/question.ts';

/** The question that waits for the user, over everything else. */
export function QuestionDialog(): JSX.Element | null {
  const asked = question.value;
  if (asked === undefined) return null;
  return (
    <dialog
      class="shell-question"
      aria-labelledby="shell-question-text"
      ref={(dialog: HTMLDialogElement | null) => {
        if (dialog?.open === false) dialog.showModal();
      }}
      onClose={() => {
        asked.settle(undefined);
      }}
    >
      <p id="shell-question-text">{asked.text}</p>
      <div class="shell-question-answers">
        {asked.answers.map((answer) => (
          <button
            key={answer}
            type="button"
            onClick={() => {
              asked.settle(answer);
            }}
          >
            {answer}
          </button>
        ))}
      </div>
    </dialog>
  );
}
