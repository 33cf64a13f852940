import type { JSX } from 'preact';
import { canEncrypt, encrypt, isConnected } from '../stores/board.ts';
import { read, subscribe, type Act, type ValueSides } from '../stores/values.ts';
import { draftOf, dropDraft, writeDraft } from './draft.ts';
import { isReadable, type InstrumentKind } from './instrument-kind.ts';
import { needsText } from './plate-text.ts';

const pendingWords: Readonly<Record<Act['kind'], string>> = {
  read: 'reading',
  write: 'writing',
  'write-without-response': 'writing',
  subscribe: 'asking',
};

/** What is written by a press on the instrument itself. */
const writesByPress: ReadonlySet<InstrumentKind> = new Set(['switch', 'choice', 'lamps']);

/** What a client can do with a value, as explicit acts. They need a connection. */
export function PlateActs({ sides, kind }: { readonly sides: ValueSides; readonly kind: InstrumentKind }): JSX.Element {
  const { definition } = sides;
  const { index, access } = definition;
  const off = !isConnected.value;
  const act = sides.act.value;
  const byPress = writesByPress.has(kind);
  return (
    <div class="panel-acts">
      {isReadable(definition) && (
        <button type="button" disabled={off} onClick={() => void read(index)}>
          Read
        </button>
      )}
      {access.includes('write') && !byPress && <WriteButton sides={sides} off={off} withResponse={true} />}
      {access.includes('write-without-response') && !byPress && (
        <WriteButton sides={sides} off={off} withResponse={false} />
      )}
      <SubscribeButton sides={sides} off={off} />
      <EncryptButton sides={sides} />
      {!byPress && draftOf(sides).value !== undefined && (
        <button
          type="button"
          class="plain"
          onClick={() => {
            dropDraft(sides);
          }}
        >
          Undo
        </button>
      )}
      <span class="panel-pending">{act?.pending === true ? pendingWords[act.kind] : ''}</span>
    </div>
  );
}

function WriteButton(props: {
  readonly sides: ValueSides;
  readonly off: boolean;
  readonly withResponse: boolean;
}): JSX.Element {
  const { sides, off, withResponse } = props;
  const waiting = draftOf(sides).value !== undefined;
  return (
    <button
      type="button"
      class={waiting && !off ? 'panel-waiting' : ''}
      disabled={off}
      onClick={() => void writeDraft(sides, withResponse)}
    >
      {withResponse ? 'Write' : 'Write without response'}
    </button>
  );
}

function SubscribeButton({ sides, off }: { readonly sides: ValueSides; readonly off: boolean }): JSX.Element | null {
  const { index, access, cccd } = sides.definition;
  if (cccd === undefined) return null;
  const subscribed = sides.subscribed.value !== 0;
  const mode = access.includes('notify') ? 'notify' : 'indicate';
  return (
    <button type="button" disabled={off} onClick={() => void subscribe(index, subscribed ? 'off' : mode)}>
      {subscribed ? 'Unsubscribe' : 'Subscribe'}
    </button>
  );
}

/** Offered where the link is not what the value needs. */
function EncryptButton({ sides }: { readonly sides: ValueSides }): JSX.Element | null {
  if (!canEncrypt.value || needsText(sides.definition) === '') return null;
  return (
    <button type="button" onClick={() => void encrypt(true)}>
      Encrypt
    </button>
  );
}
