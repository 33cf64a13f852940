import type { JSX } from 'preact';
import { toHex, type Bytes } from '../../../base/bytes.ts';
import type { DatabaseHash } from '../../../table/model.ts';

/** The database hash in both orders: programs and documents differ in which they print. */
export function HashLines({ hash }: { readonly hash: DatabaseHash }): JSX.Element {
  return (
    <dl class="sheet-hash">
      <HashLine term="As the standard prints it" note="most significant octet first" bytes={hash.specification} />
      <HashLine term="As the board sends it" note="least significant octet first" bytes={hash.onAir} />
    </dl>
  );
}

function HashLine(props: { readonly term: string; readonly note: string; readonly bytes: Bytes }): JSX.Element {
  const hex = toHex(props.bytes, ' ');
  return (
    <div>
      <dt>
        {props.term} <span class="sheet-soft">{props.note}</span>
      </dt>
      <dd class="mono">{hex}</dd>
    </div>
  );
}
