import type { JSX } from 'preact';
import { showRational } from '../../base/rational.ts';
import { withUnit } from '../../values/show-number.ts';
import { canEncrypt, encrypt, link } from '../stores/board.ts';
import { forgetAct, type ValueSides } from '../stores/values.ts';
import { draftOf } from './draft.ts';
import { sendable } from './entry.ts';
import { later } from '../shell/later.tsx';
import { outcomeWords } from './outcome-words.ts';
import { linkLossText, needsText, physicalOfBytes } from './plate-text.ts';

/** Fetched later: the arithmetic of all drives stands behind it. */
const DriveLine = later(async () => (await import('./drive-line.tsx')).DriveLine, 'panel-note');

/**
 * The lines under the sides: what the board makes of the value, what becomes of it without a link, what it needs; or,
 * after an act that did not succeed, why. Their room is kept, so that a refusal moves nothing.
 */
export function PlateWords({ sides }: { readonly sides: ValueSides }): JSX.Element {
  const { definition } = sides;
  // What is entered is said in place of what always holds: the room is the same.
  const isEntered = draftOf(sides).value !== undefined;
  const outcome = outcomeWords(definition, sides.act.value);
  return (
    <div class="panel-words">
      <div class={outcome === undefined ? 'panel-notes' : 'panel-notes panel-behind'}>
        <EntryNote sides={sides} />
        {definition.drive !== undefined && <DriveLine sides={sides} />}
        {!isEntered && <LinkLoss sides={sides} />}
        {!isEntered && <Needs sides={sides} />}
      </div>
      <div class="panel-outcome" role="status" aria-live="polite">
        {outcome !== undefined && (
          <div class="panel-refused">
            <p>
              <span aria-hidden="true">▲ </span>
              {outcome.text}
              {outcome.detail !== undefined && <span class="panel-detail mono">{outcome.detail}</span>}
            </p>
            <span class="panel-refused-acts">
              {outcome.wantsEncryption && canEncrypt.value && (
                <button
                  type="button"
                  onClick={() => {
                    void encrypt(true);
                    forgetAct(definition.index);
                  }}
                >
                  Encrypt
                </button>
              )}
              <button
                type="button"
                class="plain"
                onClick={() => {
                  forgetAct(definition.index);
                }}
              >
                Close
              </button>
            </span>
          </div>
        )}
      </div>
    </div>
  );
}

/** What is to be said of a value that is entered and not written yet. */
function EntryNote({ sides }: { readonly sides: ValueSides }): JSX.Element | null {
  const draft = draftOf(sides).value;
  const { type } = sides.definition;
  if (draft === undefined || draft.kind === 'chosen') return null;
  const octets = sendable(type, draft);
  if (!octets.ok) return <p class="panel-note">▲ Cannot be sent: {octets.why}</p>;
  if (octets.refusal !== undefined) return <p class="panel-note">▲ Will be refused: {octets.refusal}</p>;
  if (octets.error.num !== 0n && (type.kind === 'integer' || type.kind === 'float')) {
    const coded = physicalOfBytes(type, octets.bytes);
    if (coded?.kind === 'number') {
      return (
        <p class="panel-note">
          Not written yet; the coding makes it {withUnit(showRational(coded.value, 9), type.unit)}
        </p>
      );
    }
  }
  return <p class="panel-note">Not written yet</p>;
}

function LinkLoss({ sides }: { readonly sides: ValueSides }): JSX.Element | null {
  const text = linkLossText(sides.definition);
  if (text === '') return null;
  const kind = link.value.kind;
  const applies = sides.definition.onLinkLoss.kind === 'set' && kind !== 'connected' && kind !== 'silent';
  return <p class={applies ? 'panel-note panel-applies' : 'panel-note'}>{text}</p>;
}

function Needs({ sides }: { readonly sides: ValueSides }): JSX.Element | null {
  const text = needsText(sides.definition);
  const state = link.value;
  return text === '' || (state.kind === 'connected' && state.encrypted) ? null : <p class="panel-note">{text}</p>;
}
