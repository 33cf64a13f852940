import type { SourceRange } from '../base/text-range.ts';

/**
 * A contract's text as a tree. Every node knows its range; scalars keep the text they were written as, so that numbers
 * stay exact decimals.
 */
export type Node = ScalarNode | ListNode | MapNode | BrokenNode;

/** Types by YAML 1.2's core schema; quoted scalars are always texts. */
export type ScalarType = 'text' | 'number' | 'boolean' | 'null';

export type ScalarNode = {
  readonly kind: 'scalar';
  readonly type: ScalarType;
  /** Without quotes and escapes. A number or word as written: `1.50`, `0x0540`. */
  readonly text: string;
  /** True in quotes and in block scalars. */
  readonly quoted: boolean;
  readonly at: SourceRange;
};

export type ListNode = { readonly kind: 'list'; readonly items: readonly Node[]; readonly at: SourceRange };

export type MapNode = { readonly kind: 'map'; readonly entries: readonly Entry[]; readonly at: SourceRange };

/** Keys are unique within a map. An empty value is a null scalar on the key's range. */
export type Entry = { readonly key: ScalarNode; readonly value: Node };

/** Something that a finding has been reported for already. */
export type BrokenNode = { readonly kind: 'broken'; readonly at: SourceRange };

/** The value under a key, if the map has it. */
export function entryOf(map: MapNode, key: string): Entry | undefined {
  return map.entries.find((entry) => entry.key.text === key);
}

/** Type of a plain scalar, YAML 1.2.2 section 10.3.2. */
export function plainType(text: string): ScalarType {
  if (!/^[-+.0-9~nNtTfF]|^$/.test(text)) return 'text';
  if (/^(?:|~|null|Null|NULL)$/.test(text)) return 'null';
  if (/^(?:true|True|TRUE|false|False|FALSE)$/.test(text)) return 'boolean';
  if (/^(?:[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+)$/.test(text)) return 'number';
  if (/^[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?$/.test(text)) return 'number';
  if (/^(?:[-+]?\.(?:inf|Inf|INF)|\.nan|\.NaN|\.NAN)$/.test(text)) return 'number';
  return 'text';
}

/** What a node is, for a sentence: `the text \`abc\``, `a list of 3`. */
export function describe(node: Node): string {
  switch (node.kind) {
    case 'scalar':
      switch (node.type) {
        case 'null':
          return 'empty';
        case 'text':
          return node.text === '' ? 'an empty text' : `the text \`${shortText(node.text)}\``;
        case 'number':
          return `the number \`${shortText(node.text)}\``;
        case 'boolean':
          return `\`${node.text}\``;
      }
    // Every case above returns.
    // eslint-disable-next-line no-fallthrough
    case 'list':
      return node.items.length === 0 ? 'an empty list' : `a list of ${node.items.length}`;
    case 'map':
      return 'a mapping';
    case 'broken':
      return 'unreadable';
  }
}

/** At most 40 characters of one line, for a message. */
export function shortText(text: string): string {
  const line = text.replace(/\s+/g, ' ');
  return line.length > 40 ? `${line.slice(0, 39)}…` : line;
}
