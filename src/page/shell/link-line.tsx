import type { JSX } from 'preact';
import { signal } from '@preact/signals';
import { attErrorName } from '../../numbers/att-errors.ts';
import {
  board,
  connect,
  dropLink,
  encrypt,
  exchangeMtu,
  isOlder,
  link,
  mtuToAsk,
  restartBoard,
  startRefused,
} from '../stores/board.ts';
import { boardMs, subscribeToAll, values } from '../stores/values.ts';
import { say } from '../stores/words.ts';
import { showPackets, showsPackets, showView } from '../stores/view.ts';
import type { BoardWord, LinkState } from '../worker/protocol.ts';
import { linkWords } from './link-words.ts';
import { drawCrossings } from './packet-marks.ts';

/** The connection drawn as what it is: the board, this central, and the line between them, with what acts on it. */
export function LinkLine(): JSX.Element {
  const state = link.value;
  return (
    <section class={`link-line link-${state.kind}`} aria-label="Link">
      <strong class="link-board-name">{board.value?.plan.table.board.name ?? 'No board'}</strong>
      <LinkState />
      <strong class="link-central-name">This central</strong>

      <svg class="link-board-sign" viewBox="0 0 24 24" aria-hidden="true">
        <rect x="2" y="2" width="20" height="20" />
      </svg>
      <LineDrawing state={state} />
      <svg class="link-central-sign" viewBox="0 0 24 24" aria-hidden="true">
        <circle cx="12" cy="12" r="9.5" />
      </svg>

      <div class="link-board-words">
        <BoardWords />
      </div>
      <div class="link-acts">
        <LinkActs state={state} />
        <button
          type="button"
          aria-pressed={showsPackets.value}
          onClick={() => {
            showPackets(!showsPackets.value);
          }}
        >
          Packets
        </button>
      </div>
      <div class="link-central-act">
        <CentralAct state={state} />
      </div>
    </section>
  );
}

const boardWords: Readonly<Record<BoardWord, string>> = {
  model: 'virtual board',
  radio: 'virtual board, by radio',
  engine: 'firmware, by radio',
  serial: 'a real board, by its console',
};

function BoardWords(): JSX.Element {
  const running = board.value;
  if (startRefused.value !== undefined) {
    const count = startRefused.value.filter(({ severity }) => severity === 'error').length;
    return (
      <span>
        ▲ {running === undefined ? 'not started' : 'not restarted'}:{' '}
        <button
          type="button"
          class="plain"
          onClick={() => {
            showView('contract');
          }}
        >
          {count === 1 ? 'one error' : `${count} errors`} in the contract
        </button>
      </span>
    );
  }
  if (running === undefined) return <span>starting</span>;
  if (running.replayed === true) {
    return (
      <span>
        a recording, played again{' '}
        <button
          type="button"
          class="plain"
          onClick={() => {
            restartBoard({ connect: true });
          }}
        >
          Back to the board
        </button>
      </span>
    );
  }
  if (isOlder.value) {
    return (
      <span>
        runs an older text{' '}
        <button
          type="button"
          class="plain"
          onClick={() => {
            restartBoard();
          }}
        >
          Restart board
        </button>
      </span>
    );
  }
  const planted = running.faults.length;
  const what = boardWords[running.made];
  if (planted === 0) return <span class={running.made === 'model' ? 'link-plain' : undefined}>{what}</span>;
  return (
    <span>
      {what}, {planted === 1 ? 'a fault' : `${planted} faults`} planted
    </span>
  );
}

/** Of its own, because it counts down while a loss is not noticed. */
function LinkState(): JSX.Element {
  const state = link.value;
  const radio = board.value?.plan.table.radio;
  const words = linkWords(state, radio, state.kind === 'lost' ? boardMs.value : 0);
  return (
    <p class="link-words">
      <span>{words}</span>
      {state.kind === 'connected' && state.encrypted && <span> · encrypted</span>}
      {state.kind === 'connected' && state.hash === 'different' && (
        <span> · ▲ the board’s attribute table is not the contract’s</span>
      )}
    </p>
  );
}

function LineDrawing({ state }: { readonly state: LinkState }): JSX.Element {
  const parted = state.kind === 'lost' || state.kind === 'silent';
  return (
    <div class="link-drawing" ref={startMarks} aria-hidden="true">
      <svg class="link-stroke">
        <line x1="0" y1="50%" x2={parted ? '49%' : '100%'} y2="50%" />
        {parted && <line x1="51%" y1="50%" x2="100%" y2="50%" />}
        {state.kind === 'lost' && (
          <svg x="50%" y="50%" class="link-break">
            <path d="M-10 9 -3 -9M3 9 10 -9" />
          </svg>
        )}
        {state.kind === 'connected' && state.encrypted && (
          <svg x="50%" y="50%" class="link-bow">
            <path class="link-bow-arch" d="M-8 0v-5a8 8 0 0 1 16 0v5" />
            <path class="link-bow-body" d="M-11 -2h22v12h-22z" />
          </svg>
        )}
      </svg>
    </div>
  );
}

/** Packets are drawn from when the line is there until it goes. */
let stopMarks: (() => void) | undefined;
function startMarks(element: HTMLElement | null): void {
  stopMarks?.();
  stopMarks = element === null ? undefined : drawCrossings(element);
}

const mtuText = signal<string | undefined>(undefined);

function LinkActs({ state }: { readonly state: LinkState }): JSX.Element | null {
  if (state.kind !== 'connected') return null;
  const wished = mtuText.value ?? String(mtuToAsk.value);
  return (
    <>
      <form
        class="link-mtu"
        onSubmit={(event) => {
          event.preventDefault();
          void askMtu(wished);
        }}
      >
        <label for="link-mtu">MTU</label>
        <input
          id="link-mtu"
          inputMode="numeric"
          size={3}
          value={wished}
          onInput={({ currentTarget }) => {
            mtuText.value = currentTarget.value;
          }}
        />
        <button type="submit" title="Ask the board for this MTU: octets of the longest packet">
          Ask
        </button>
      </form>
      <button
        type="button"
        class="link-drop"
        onClick={() => {
          dropLink('lose');
        }}
      >
        Drop link
      </button>
      {board.value?.securable === true && (
        <button
          type="button"
          aria-pressed={state.encrypted}
          onClick={() => {
            void encrypt(!state.encrypted);
          }}
        >
          Encrypt
        </button>
      )}
      <SubscribeAll />
    </>
  );
}

function SubscribeAll(): JSX.Element | null {
  const waiting = values.value.filter(
    ({ definition, subscribed }) => definition.cccd !== undefined && subscribed.value === 0,
  );
  if (waiting.length === 0) return null;
  return (
    <button
      type="button"
      onClick={() => {
        void subscribeToAll();
      }}
    >
      Subscribe to all
    </button>
  );
}

function CentralAct({ state }: { readonly state: LinkState }): JSX.Element {
  switch (state.kind) {
    case 'connected':
      return (
        <button
          type="button"
          onClick={() => {
            dropLink('terminate');
          }}
        >
          Disconnect
        </button>
      );
    case 'connecting':
      return (
        <button type="button" disabled>
          Connecting
        </button>
      );
    case 'lost':
    case 'advertising':
    case 'silent':
      return (
        <button type="button" disabled={state.kind === 'silent'} onClick={connect}>
          {state.kind === 'lost' ? 'Reconnect' : 'Connect'}
        </button>
      );
  }
}

/** MTU bounds: Core Vol 3 Part F 3.2.8 and 3.2.9 (default 23; a value of 512 octets needs no more than 517). */
async function askMtu(text: string): Promise<void> {
  const mtu = Number(text);
  if (!Number.isInteger(mtu) || mtu < 23 || mtu > 517) {
    say('refused', `The MTU is a whole number of 23 to 517 octets; “${text.slice(0, 20)}” is not.`);
    return;
  }
  const failure = await exchangeMtu(mtu);
  mtuText.value = undefined;
  const agreed = link.value.kind === 'connected' ? link.value.mtu : undefined;
  if (failure?.kind === 'att-error') {
    const text = `An MTU is agreed once in a connection, and this one has its own. The next connection asks for ${mtu} octets.`;
    say('told', text, failure.code === undefined ? undefined : attErrorName(failure.code));
  } else if (failure !== undefined) {
    say('refused', 'The board gave no usable answer about the MTU.', failure.kind);
  } else if (agreed !== undefined && agreed !== mtu) {
    say('told', `Asked for ${mtu} octets; the MTU in force is ${agreed}, the smaller of both sides’.`);
  }
}
