import type { JSX } from 'preact';
import { printable } from '../../base/render-finding.ts';

/**
 * A sentence that may hold names and values of the user's: what stands in backticks is set as code, characters that would
 * move the line are shown as a dot.
 */
export function Prose({ text }: { readonly text: string }): JSX.Element {
  const parts = printable(text).split(/`([^`]+)`/);
  return <bdi>{parts.map((part, i) => (i % 2 === 0 ? part : <code key={i}>{part}</code>))}</bdi>;
}
