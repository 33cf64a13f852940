import type { JSX } from 'preact';
import encodeQR from 'qr';

/** Octets of the largest QR code at its lowest correction, ISO/IEC 18004 table 7 (version 40-L). */
export const longestInCode = 2953;

/** Blank modules that readers need around the code, ISO/IEC 18004 section 6.3.8. */
const quiet = 4;

/**
 * The text as a QR code, black on white whatever the page's light is: cameras expect it so.
 *
 * @param text at most `longestInCode` octets
 */
export function QrCode({ text, label }: { readonly text: string; readonly label: string }): JSX.Element {
  const modules = encodeQR(text, 'raw', { ecc: 'low', encoding: 'byte', border: quiet });
  const size = modules.length;
  const path = modules.flatMap((row, y) => row.map((dark, x) => (dark ? `M${x} ${y}h1v1h-1z` : ''))).join('');
  return (
    <svg class="share-code" viewBox={`0 0 ${size} ${size}`} role="img" aria-label={label} shape-rendering="crispEdges">
      <rect width={size} height={size} fill="#fff" />
      <path d={path} fill="#000" />
    </svg>
  );
}
