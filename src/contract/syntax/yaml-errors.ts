import type { YAMLParseError } from 'yaml';
import type { Finding } from '../../base/finding.ts';
import type { SourceRange } from '../../base/text-range.ts';
import { shortText } from '../tree.ts';
import {
  badEscape,
  blockInBrackets,
  colonInValue,
  keyOverLines,
  missingCharacter,
  reservedCharacter,
  tabIndentation,
  unevenIndentation,
  unexpectedText,
} from './findings.ts';

/** An error of the YAML library, without its class. */
export type YamlError = Pick<YAMLParseError, 'code' | 'pos' | 'message'>;

/** Where the library says an error is: an offset, a range, or a token. */
type ErrorSource = number | readonly [number, number, number?] | { readonly offset: number; readonly source?: unknown };

/** Most errors kept of one text. */
const mostErrors = 1000;

/**
 * Takes errors in place of the library, which makes an exception with a stack trace of each: too dear for a text that
 * has fifty thousand.
 */
export class ErrorLog {
  readonly errors: YamlError[] = [];

  readonly onError = (source: ErrorSource, code: YamlError['code'], message: string, warning?: boolean): void => {
    if (warning === true || this.errors.length >= mostErrors || toldElsewhere.has(code)) return;
    this.errors.push({ code, pos: positionOf(source), message });
  };
}

function positionOf(source: ErrorSource): [number, number] {
  if (typeof source === 'number') return [source, source + 1];
  if ('offset' in source) {
    return [source.offset, source.offset + (typeof source.source === 'string' ? source.source.length : 1)];
  }
  return [source[0], source[1]];
}

/** Codes about what `scan` and the tree tell in our own terms. */
const toldElsewhere: ReadonlySet<YamlError['code']> = new Set([
  'ALIAS_PROPS',
  'BAD_ALIAS',
  'BAD_COLLECTION_TYPE',
  'BAD_DIRECTIVE',
  'BAD_PROP_ORDER',
  'DUPLICATE_KEY',
  'MULTIPLE_ANCHORS',
  'MULTIPLE_DOCS',
  'MULTIPLE_TAGS',
  'NON_STRING_KEY',
  'TAG_RESOLVE_FAILED',
]);

/** Mistakes within one value. All others change what the lines behind them belong to. */
const local: ReadonlySet<YamlError['code']> = new Set(['BAD_DQ_ESCAPE', 'BAD_SCALAR_START', 'TAB_AS_INDENT']);

/**
 * Says the YAML library's errors in our words. One mistake in the structure makes many: the first is told, and besides it
 * those that concern one value, one on each line.
 */
export function yamlFindings(errors: readonly YamlError[], text: string): readonly Finding[] {
  const found: Finding[] = [];
  let lineEnd = -1;
  let structural = false;
  for (const error of [...errors].sort((a, b) => a.pos[0] - b.pos[0])) {
    if (error.pos[0] <= lineEnd || (structural && !local.has(error.code))) continue;
    if (!local.has(error.code)) structural = true;
    found.push(yamlFinding(error, text));
    const newline = text.indexOf('\n', error.pos[0]);
    lineEnd = newline < 0 ? text.length : newline;
  }
  return found;
}

function yamlFinding(error: YamlError, text: string): Finding {
  const start = Math.min(error.pos[0], text.length);
  const end = Math.max(start, Math.min(error.pos[1], text.length));
  const at = { start, end };
  switch (error.code) {
    case 'BAD_DQ_ESCAPE':
      return badEscape.at(at, {
        escape: shortText(/^\\(?:x.{0,2}|u.{0,4}|U.{0,8}|.)?/.exec(text.slice(start))?.[0] ?? '\\'),
      });
    case 'BAD_INDENT':
      if (/^[\]}]/.test(text.slice(start, end))) return unexpected(at, text);
      return error.message.includes('end with a')
        ? missingCharacter.at(missingPlace(error.message, at, text), missing(error.message))
        : unevenIndentation.at(firstWord(text, start), {});
    case 'TAB_AS_INDENT':
      return tabIndentation.at(at, {});
    case 'BAD_SCALAR_START':
      return reservedCharacter.at({ start, end: start + 1 }, { character: text[start] ?? '' });
    case 'BLOCK_AS_IMPLICIT_KEY':
      return secondKey(text, start);
    case 'BLOCK_IN_FLOW':
      return /^[-?:]\s/.test(text.slice(start, start + 2))
        ? blockInBrackets.at(firstWord(text, start), {})
        : missingCharacter.at(firstWord(text, start), missing('Missing ,'));
    case 'MULTILINE_IMPLICIT_KEY':
    case 'KEY_OVER_1024_CHARS':
      return keyOverLines.at(firstWord(text, start), {});
    case 'MISSING_CHAR':
      if (/^[\]}]/.test(text.slice(start, end))) return unexpected(at, text);
      return missingCharacter.at(missingPlace(error.message, at, text), missing(error.message));
    default:
      return unexpected(at, text);
  }
}

/**
 * The library calls two things the same: a second `key: ` on a line, and a line indented deeper than the value before
 * it, which then reads as the value's continuation.
 */
function secondKey(text: string, start: number): Finding {
  const lineEnd = text.indexOf('\n', start);
  const line = text.slice(start, lineEnd < 0 ? text.length : lineEnd);
  if (line.trimStart().startsWith('- ')) return unevenIndentation.at(firstWord(text, start), {});
  return /:(?:\s|$)/.test(line) || lineEnd < 0
    ? colonInValue.at(firstWord(text, start), {})
    : unevenIndentation.at(firstWord(text, lineEnd), {});
}

/** Something where nothing may stand; a hyphen there is an entry of a list in the wrong column or line. */
function unexpected(at: SourceRange, text: string): Finding {
  const found = shortText(text.slice(at.start, at.end)).trim();
  if (found !== '-') {
    return unexpectedText.at(at, { text: found, remedy: 'check quotes, commas and brackets just before this place' });
  }
  const before = text.slice(text.lastIndexOf('\n', at.start - 1) + 1, at.start);
  if (before.trim() === '') return unevenIndentation.at(at, {});
  return unexpectedText.at(at, { text: found, remedy: 'begin the list on a line of its own, or write it in brackets' });
}

/** For a quote that is not closed, the one that opens; else the end of what stands before the place. */
function missingPlace(message: string, at: SourceRange, text: string): SourceRange {
  const quote = message.includes('closing "quote') ? '"' : message.includes("closing 'quote") ? "'" : undefined;
  if (quote !== undefined) {
    let opening = text.lastIndexOf(quote, at.start - 1);
    // Two single quotes within a text stand for one.
    while (quote === "'" && opening > 0 && text[opening - 1] === quote) opening = text.lastIndexOf(quote, opening - 2);
    if (opening >= 0) return { start: opening, end: opening + 1 };
  }
  if (/\S/.test(text.slice(at.start, at.end))) return at;
  const end = text.slice(0, at.start).trimEnd().length;
  return { start: end, end };
}

/** The library says in words which character it misses. */
function missing(message: string): { what: string; remedy: string } {
  if (message.includes('closing "quote')) {
    return { what: 'a closing double quote', remedy: 'close the text with `"` on the line where it ends' };
  }
  if (message.includes("closing 'quote")) {
    return {
      what: 'a closing single quote',
      remedy: "close the text with `'`; an apostrophe within single quotes is written twice",
    };
  }
  if (message.includes('end with a }')) return { what: 'a closing brace', remedy: 'close the mapping with `}`' };
  if (message.includes('end with a ]')) return { what: 'a closing bracket', remedy: 'close the list with `]`' };
  if (message.includes(', or :')) {
    return { what: 'a comma or a colon', remedy: 'separate the entries with `,`, or put `:` and a blank behind a key' };
  }
  if (message.includes('Missing ,')) return { what: 'a comma', remedy: 'separate the entries with `,`' };
  if (message.includes('space after :'))
    return { what: 'a blank behind the colon', remedy: 'write a blank behind `:`' };
  if (message.includes('Comments must')) {
    return { what: 'a blank before the comment', remedy: 'write a blank before `#`, or put the text in quotes' };
  }
  if (message.includes('followed by map values')) {
    return { what: 'a colon', remedy: 'put `:` and a value behind the word, or indent it as part of the line above' };
  }
  if (message.includes('- indicator')) {
    return { what: 'a hyphen', remedy: 'begin the entry with `- ` like the others of its list' };
  }
  return { what: 'a blank or a line break', remedy: 'begin what follows on a line of its own' };
}

/** From `start`, or the first thing behind it that shows, to the end of that word. */
function firstWord(text: string, start: number): { start: number; end: number } {
  const match = /^(\s*)(\S*)/.exec(text.slice(start, start + 2000));
  const from = start + (match?.[1]?.length ?? 0);
  return { start: from, end: from + (match?.[2]?.length ?? 0) };
}
