import { computed, effect, signal } from '@preact/signals';
import type { JSX } from 'preact';
import { contractText } from '../stores/contract.ts';
import { fileName } from '../stores/document.ts';
import { say } from '../stores/words.ts';
import { adoptStyles } from '../styles/adopt.ts';
import { carriedFragment } from './carried-text.ts';
import { longestInCode, QrCode } from './qr-code.tsx';
import styles from './share.css?inline';

adoptStyles(styles);

/** Where the page lies for the phone: this page's own address, until the user says another. */
const pageAddress = signal(location.origin + location.pathname);
const fragment = signal<string | undefined>(undefined);
const address = computed(() =>
  fragment.value === undefined ? undefined : `${pageAddress.value.split('#')[0] ?? ''}#${fragment.value}`,
);

effect(() => {
  const carried = { name: fileName.value, text: contractText.value };
  void carriedFragment(carried).then((packed) => {
    fragment.value = packed;
  });
});

/** The contract as an address and a QR code, to be opened on a phone. */
export function ShareDialog({ onClose }: { readonly onClose: () => void }): JSX.Element {
  const whole = address.value;
  return (
    <dialog
      class="shell-question share-dialog"
      aria-labelledby="share-title"
      ref={(dialog: HTMLDialogElement | null) => {
        if (dialog?.open === false) dialog.showModal();
      }}
      onClose={onClose}
    >
      <h2 id="share-title">On a phone</h2>
      <p>
        The code holds this page’s address and the whole contract. The contract travels in the address itself; no server
        gets it.
      </p>
      {whole !== undefined && <CodeOrWhy text={whole} />}
      <label class="share-address">
        Address of the page
        <input
          type="url"
          value={pageAddress.value}
          onInput={({ currentTarget }) => {
            pageAddress.value = currentTarget.value;
          }}
        />
      </label>
      {isThisMachineOnly(pageAddress.value) && (
        <p>
          ▲ A phone cannot reach this address: it is this computer’s own. Put the built folder on any web server with
          HTTPS and write its address here.
        </p>
      )}
      <form method="dialog" class="shell-question-answers">
        <button type="button" disabled={whole === undefined} onClick={() => void copy(whole ?? '')}>
          Copy the address
        </button>
        <button>Close</button>
      </form>
    </dialog>
  );
}

function CodeOrWhy({ text }: { readonly text: string }): JSX.Element {
  if (text.length > longestInCode) {
    return (
      <p>
        This contract’s address has {text.length.toLocaleString('en')} characters; a QR code holds{' '}
        {longestInCode.toLocaleString('en')}. Copy the address and send it instead.
      </p>
    );
  }
  return <QrCode text={text} label="QR code of the page’s address with the contract in it" />;
}

async function copy(text: string): Promise<void> {
  try {
    await navigator.clipboard.writeText(text);
    say('told', 'The address with the contract is in the clipboard.');
  } catch {
    say('refused', 'The browser did not give the clipboard. Mark the address by hand.');
  }
}

/** Loopback names and addresses, RFC 6761 section 6.3 and RFC 1122 section 3.2.1.3. */
function isThisMachineOnly(text: string): boolean {
  try {
    const { hostname } = new URL(text);
    return hostname === 'localhost' || hostname.endsWith('.localhost') || /^127\.|^\[::1\]$/.test(hostname);
  } catch {
    return false;
  }
}
