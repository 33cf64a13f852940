import { Composer, isAlias, isMap, isScalar, isSeq, Parser, type CST } from 'yaml';
import type { Finding } from '../../base/finding.ts';
import type { SourceRange } from '../../base/text-range.ts';
import { describe, plainType, type Entry, type Node, type ScalarNode } from '../tree.ts';
import { duplicateKey, emptyFile, keyNotWord, mergeKey } from './findings.ts';
import { scan, withoutControls } from './scan.ts';
import { ErrorLog, yamlFindings } from './yaml-errors.ts';

export type Tree = {
  /** `undefined` when the text is no YAML that could be trusted to say what was meant. */
  readonly root: Node | undefined;
  readonly findings: readonly Finding[];
};

/** Parses one YAML document of the language's subset. Bounded in time, memory and stack for any text. */
export function parseTree(text: string): Tree {
  const clean = withoutControls(text);
  const { tokens, findings, readable } = scan(clean.text);
  const found: Finding[] = [...clean.findings, ...findings];
  if (!readable) return { root: undefined, findings: found };

  const composer = new Composer({
    version: '1.2',
    // Scalars stay texts here; `plainType` reads them, exactly. Keys are compared in `buildMap`, in linear time.
    schema: 'failsafe',
    uniqueKeys: false,
    resolveKnownTags: false,
    merge: false,
    logLevel: 'silent',
  });
  const log = new ErrorLog();
  Object.assign(composer, { onError: log.onError });
  const [document] = composer.compose(cstOf(tokens));
  const errors = document?.errors ?? composer.streamInfo().errors;
  const broken = yamlFindings([...errors, ...log.errors], clean.text);
  found.push(...broken);
  if (broken.length > 0) return { root: undefined, findings: found };
  if (document?.contents == null) {
    found.push(emptyFile.at({ start: 0, end: 0 }, {}));
    return { root: undefined, findings: found };
  }
  return { root: build(document.contents, { start: 0, end: 0 }, found), findings: found };
}

function cstOf(tokens: readonly string[]): readonly CST.Token[] {
  const parser = new Parser();
  const found: CST.Token[] = [];
  for (const token of tokens) for (const part of parser.next(token)) found.push(part);
  return [...found, ...parser.end()];
}

/** @param home where an empty value is said to be: its key, or its list */
function build(node: unknown, home: SourceRange, found: Finding[]): Node {
  if (isScalar(node)) return buildScalar(node, home);
  if (isSeq(node)) {
    const at = rangeOf(node, home);
    return { kind: 'list', items: node.items.map((item) => build(item, at, found)), at };
  }
  if (isMap(node)) return buildMap(node.items, rangeOf(node, home), found);
  return { kind: 'broken', at: isAlias(node) ? rangeOf(node, home) : home };
}

type YamlScalar = { readonly source?: string; readonly type?: string; readonly range?: unknown };

function buildScalar(node: YamlScalar, home: SourceRange): ScalarNode {
  const text = node.source ?? '';
  const quoted = node.type !== undefined && node.type !== 'PLAIN';
  const at = rangeOf(node, home);
  return {
    kind: 'scalar',
    type: quoted ? 'text' : plainType(text),
    text,
    quoted,
    at: at.start === at.end ? home : at,
  };
}

function buildMap(pairs: readonly { key: unknown; value: unknown }[], at: SourceRange, found: Finding[]): Node {
  const entries: Entry[] = [];
  const first = new Map<string, Entry>();
  /** A second `id` begins an entry whose hyphen is missing; what is given again behind it is the same slip. */
  let hyphenMissing = false;
  for (const pair of pairs) {
    const key = build(pair.key, at, found);
    if (key.kind !== 'scalar' || key.type === 'null') {
      if (key.kind !== 'broken') found.push(keyNotWord.at(key.at, { found: describe(key) }));
      continue;
    }
    if (key.text === '<<' && !key.quoted) {
      found.push(mergeKey.at(key.at, {}));
      continue;
    }
    const value = pair.value == null ? emptyAt(key.at) : build(pair.value, key.at, found);
    const before = first.get(key.text);
    if (before !== undefined) {
      const begins = key.text === 'id';
      if (hyphenMissing && !begins) continue;
      hyphenMissing ||= begins;
      const related = [{ message: `\`${key.text}\` is given first here`, at: before.key.at }];
      found.push(duplicateKey.at(key.at, { key: key.text, begins }, { related }));
      continue;
    }
    const entry: Entry = { key, value };
    first.set(key.text, entry);
    entries.push(entry);
  }
  return { kind: 'map', entries, at };
}

function emptyAt(at: SourceRange): ScalarNode {
  return { kind: 'scalar', type: 'null', text: '', quoted: false, at };
}

function rangeOf(node: { readonly range?: unknown }, home: SourceRange): SourceRange {
  const range = node.range as readonly [number, number, number] | null | undefined;
  return range == null ? home : { start: range[0], end: range[1] };
}
