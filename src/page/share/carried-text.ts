import { decodeUtf8 } from '../../values/utf8.ts';
import { marker } from './is-carried.ts';

/**
 * A contract that travels in the part of an address behind `#`, which browsers send to no server: DEFLATE (RFC 1951)
 * without a header, in base64url (RFC 4648 section 5) without padding, and the file's name.
 */
export type Carried = { readonly name: string; readonly text: string };

/** Octets that an address may unfold to; a contract is a thousandth of it. */
const longest = 2_000_000;

/** What stands behind `#`. */
export async function carriedFragment({ name, text }: Carried): Promise<string> {
  const packed = await collect(new Blob([text]).stream().pipeThrough(new CompressionStream('deflate-raw')), Infinity);
  return `${marker}${base64url(packed ?? new Uint8Array(0))}&name=${encodeURIComponent(name)}`;
}

/** @returns `undefined` when the address was cut, changed on its way, or unfolds to no text of a bearable length */
export async function readCarried(fragment: string): Promise<Carried | undefined> {
  const [packed = '', name = ''] = fragment.slice(marker.length).split('&name=');
  const octets = fromBase64url(packed);
  if (octets === undefined) return undefined;
  try {
    const whole = await collect(
      new Blob([octets]).stream().pipeThrough(new DecompressionStream('deflate-raw')),
      longest,
    );
    const text = whole === undefined ? undefined : decodeUtf8(whole);
    return text?.ok === true ? { name: decodeURIComponent(name), text: text.text } : undefined;
  } catch {
    return undefined;
  }
}

async function collect(stream: ReadableStream<Uint8Array>, most: number): Promise<Uint8Array | undefined> {
  const parts: Uint8Array[] = [];
  let length = 0;
  for (const reader = stream.getReader(); ;) {
    const { done, value } = await reader.read();
    if (done) break;
    parts.push(value);
    length += value.length;
    if (length > most) {
      await reader.cancel();
      return undefined;
    }
  }
  const whole = new Uint8Array(length);
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

function base64url(octets: Uint8Array): string {
  const text = Array.from(octets, (octet) => String.fromCharCode(octet)).join('');
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

function fromBase64url(text: string): Uint8Array<ArrayBuffer> | undefined {
  if (!/^[A-Za-z0-9_-]+$/.test(text)) return undefined;
  try {
    return Uint8Array.from(atob(text.replaceAll('-', '+').replaceAll('_', '/')), (character) =>
      character.charCodeAt(0),
    );
  } catch {
    return undefined;
  }
}
