import { CST, Lexer } from 'yaml';
import type { Finding } from '../../base/finding.ts';
import type { SourceRange } from '../../base/text-range.ts';
import { shortText } from '../tree.ts';
import {
  anchorOrAlias,
  controlCharacter,
  directive,
  nestedTooDeep,
  oddBlank,
  secondDocument,
  tag,
  tooManyWords,
} from './findings.ts';
import { deepest, mostFindings, mostTokens, mostWords } from './limits.ts';

export type Scan = {
  /** The lexer's tokens of the first document, to be parsed; empty when the text must not be parsed. */
  readonly tokens: readonly string[];
  readonly findings: readonly Finding[];
  /** False when a limit was passed. */
  readonly readable: boolean;
};

/**
 * Reads the text as a stream of tokens and finds what the language leaves out of YAML, and what would make the parser
 * behind it run deep or long. Takes time and memory in proportion to the text; does not recurse.
 *
 * @param text without control characters, see {@link withoutControls}
 */
export function scan(text: string): Scan {
  const findings: Finding[] = [];
  const tokens: string[] = [];
  const depth = new Depth();
  const stop = (last?: Finding): Scan => ({
    tokens: [],
    findings: last === undefined ? findings : [...findings, last],
    readable: false,
  });
  const hasOddBlanks = odd.test(text);
  let offset = 0;
  let words = 0;
  let scalarNext = false;
  let started = false;
  let content = false;

  for (const source of new Lexer().lex(text)) {
    const type: TokenType = scalarNext ? 'scalar' : CST.tokenType(source);
    const at = { start: offset, end: offset + source.length };
    const isSecond = content ? type === 'doc-start' || type === 'doc-mode' : type === 'doc-start' && started;
    if (isSecond) return { tokens, findings: [...findings, secondDocument.at(at, {})], readable: true };
    tokens.push(source);
    if (isMark(type, scalarNext)) {
      scalarNext = type === 'scalar';
      if (type === 'flow-error-end') depth.closeBrackets();
      continue;
    }
    if (type === 'doc-start') started = true;
    else if (isWord(type)) content = true;
    if (isWord(type)) words += 1;
    const refused = forbidden(type, source, at, hasOddBlanks);
    if (refused !== undefined) findings.push(refused);
    depth.take(type, source, scalarNext);
    scalarNext = false;
    offset = at.end;
    if (depth.now > deepest) return stop(nestedTooDeep.at(at, { limit: deepest }));
    if (words > mostWords) return stop(tooManyWords.at(at, { limit: mostWords, what: 'words and marks' }));
    if (tokens.length > mostTokens) {
      return stop(tooManyWords.at(at, { limit: mostTokens, what: 'words, blanks and lines' }));
    }
    if (findings.length > mostFindings) return stop();
  }
  return { tokens, findings, readable: true };
}

type TokenType = CST.TokenType | null;

/** Tokens that the lexer puts in: they stand for nothing in the text. */
function isMark(type: TokenType, isText: boolean): boolean {
  return type === 'doc-mode' || type === 'flow-error-end' || (type === 'scalar' && !isText);
}

/** All that says something: no blanks, line ends or comments, and not what stands before the document. */
function isWord(type: TokenType): boolean {
  switch (type) {
    case 'space':
    case 'newline':
    case 'comment':
    case 'byte-order-mark':
    case 'directive-line':
    case 'doc-start':
      return false;
    default:
      return true;
  }
}

/** What YAML has and the contract language has not. */
function forbidden(type: TokenType, source: string, at: SourceRange, hasOddBlanks: boolean): Finding | undefined {
  switch (type) {
    case 'directive-line':
      return directive.at(at, { line: shortText(source) });
    case 'anchor':
    case 'alias':
      return anchorOrAlias.at(at, { word: shortText(source) });
    case 'tag':
      return tag.at(at, { word: shortText(source) });
    case 'scalar':
      return hasOddBlanks ? oddBlankIn(source, at.start) : undefined;
    default:
      return undefined;
  }
}

/** Follows the nesting: brackets that are open, and columns at which block entries began. */
class Depth {
  #brackets = 0;
  #column = 0;
  #lineBegin = true;
  /** Rising columns of the block entries that are open. */
  readonly #columns: number[] = [];

  get now(): number {
    return this.#brackets + this.#columns.length;
  }

  closeBrackets(): void {
    this.#brackets = 0;
  }

  take(type: TokenType, source: string, scalar: boolean): void {
    if (scalar) {
      this.#enter();
      // A scalar over several lines ends somewhere on its last one; the next entry begins a line of its own.
      const lastLine = source.lastIndexOf('\n');
      this.#column = lastLine < 0 ? this.#column + source.length : source.length - lastLine - 1;
      this.#lineBegin = lastLine >= 0 && this.#column === 0;
      return;
    }
    switch (type) {
      case 'newline':
        this.#column = source === '' ? this.#column : 0;
        this.#lineBegin = true;
        return;
      case 'space':
      case 'comment':
      case 'byte-order-mark':
        break;
      case 'seq-item-ind':
      case 'explicit-key-ind':
      case 'map-value-ind':
        this.#enter();
        // What follows on this line, as in `- - a`, is one level further in.
        if (this.#brackets === 0 && type !== 'map-value-ind') this.#lineBegin = true;
        break;
      case 'flow-map-start':
      case 'flow-seq-start':
        this.#enter();
        this.#brackets += 1;
        break;
      case 'flow-map-end':
      case 'flow-seq-end':
        this.#brackets = Math.max(0, this.#brackets - 1);
        break;
      default:
        this.#enter();
    }
    const lastLine = source.lastIndexOf('\n');
    this.#column = lastLine < 0 ? this.#column + source.length : source.length - lastLine - 1;
  }

  /** Something begins here: if it is the first on its line, or behind a hyphen, it opens a level or goes on with one. */
  #enter(): void {
    if (this.#brackets > 0 || !this.#lineBegin) return;
    this.#lineBegin = false;
    while ((this.#columns.at(-1) ?? -1) >= this.#column) this.#columns.pop();
    this.#columns.push(this.#column);
  }
}

// All but tab, line feed, carriage return before line feed, and what YAML prints (YAML 1.2.2 section 5.1).
const control =
  // eslint-disable-next-line no-control-regex -- they are what is looked for
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u0084\u0086-\u009f\ufffe\uffff]|\r(?!\n)|\p{Surrogate}/gu;

/**
 * Puts U+FFFD in place of characters that YAML does not allow, one for one, so that offsets stay; one finding for the
 * first of each kind.
 */
export function withoutControls(text: string): { text: string; findings: readonly Finding[] } {
  const seen = new Map<number, { at: number; count: number }>();
  for (const match of text.matchAll(control)) {
    const unit = match[0].charCodeAt(0);
    const before = seen.get(unit);
    if (before === undefined) seen.set(unit, { at: match.index, count: 1 });
    else before.count += 1;
  }
  if (seen.size === 0) return { text, findings: [] };
  const findings = [...seen].map(([unit, { at, count }]) =>
    controlCharacter.at({ start: at, end: at + 1 }, { unit, count }),
  );
  return { text: text.replace(control, '\ufffd'), findings };
}

const odd = /[\u00a0\u1680\u2000-\u200b\u2028\u2029\u202f\u205f\u2060\u3000\ufeff]/;

/** A blank in disguise in an unquoted word; the first is enough. */
function oddBlankIn(source: string, offset: number): Finding | undefined {
  const index = source.search(odd);
  if (index < 0) return undefined;
  const at = { start: offset + index, end: offset + index + 1 };
  const fixes = [{ title: 'Replace by an ordinary space', edits: [{ at, text: ' ' }] }];
  return oddBlank.at(at, { unit: source.charCodeAt(index) }, { fixes });
}
