import type { Bytes } from '../../base/bytes.ts';
import { refusalText } from '../../values/refusal.ts';
import { checkValue } from '../../values/check.ts';
import { attError, attErrorName } from '../../numbers/att-errors.ts';
import type { Need } from '../../contract/model.ts';
import type { ValueDefinition } from '../../table/model.ts';
import type { Act } from '../stores/values.ts';
import { allowedWords } from './allowed-words.ts';
import { shortValue } from './plate-text.ts';

export type Outcome = {
  readonly text: string;
  /** What stands behind it, in mono: the ATT error. */
  readonly detail: string | undefined;
  /** The act would go well on an encrypted link. */
  readonly wantsEncryption: boolean;
};

const verbs = { read: 'read', write: 'write', 'write-without-response': 'write', subscribe: 'subscribe' } as const;

/** What the contract asks of the link for it. A board without a key answers Insufficient Authentication to all of them. */
const needWords: Readonly<Record<Need, string>> = {
  open: 'The board wants an encrypted link for this, though the contract does not.',
  encrypted: 'The board wants an encrypted link for this.',
  authenticated: 'The board wants a link with an authenticated key for this: pair, then encrypt.',
  'secure-connections': 'The board wants a link by LE Secure Connections for this: pair, then encrypt.',
};

/** Why an act did not succeed, in the user's words; `undefined` for one that did, or has not ended. */
export function outcomeWords(definition: ValueDefinition, act: Act | undefined): Outcome | undefined {
  if (act?.failure === undefined) return undefined;
  const { failure } = act;
  switch (failure.kind) {
    case 'att-error':
      return failure.code === undefined
        ? said(refused(definition, act), 'ATT error, hidden by this link')
        : attOutcome(definition, act, failure.code);
    case 'timeout':
      return said(`The board did not answer within 30 s. ${asBefore(act)}`);
    case 'link-lost':
      return said(`The link broke before the board answered. ${asBefore(act)}`);
    case 'protocol':
      return said('The board answered with something that is no answer.', failure.about);
    case 'not-reachable':
      return said(`Nothing was sent: ${failure.about}.`);
  }
}

function attOutcome(definition: ValueDefinition, act: Act, code: number): Outcome {
  const detail = `0x${code.toString(16).toUpperCase().padStart(2, '0')} ${attErrorName(code)}`;
  switch (code) {
    case attError.insufficientEncryption:
    case attError.insufficientAuthentication:
    case attError.encryptionKeySizeTooShort:
      return {
        ...said(needWords[definition.needs[verbs[act.kind]]], detail),
        wantsEncryption: true,
      };
    case attError.insufficientAuthorization:
      return said(`The board does not let this central ${verbs[act.kind]} it.`, detail);
    case attError.readNotPermitted:
      return said('The board does not let this be read.', detail);
    case attError.writeNotPermitted:
      return said('The board does not let this be written.', detail);
    default:
      return said(refused(definition, act, code), detail);
  }
}

function refused(definition: ValueDefinition, act: Act, code?: number): string {
  if (act.value === undefined) {
    return act.kind === 'read' ? 'The board refused to be read.' : 'The board refused the subscription.';
  }
  const { type } = definition;
  const value = shortValue(type, act.value);
  if (code === attError.invalidAttributeValueLength) return `The board refused ${lengthReason(definition, act.value)}`;
  const reason = checkValue(type, act.value);
  if (reason === undefined) return `The board refused ${value}, which the contract allows.`;
  if (reason.path !== '') return `The board refused it: ${refusalText(reason)}`;
  return `The board refused ${value}: allowed ${allowedWords(type)}`;
}

function lengthReason({ minLength, maxLength }: ValueDefinition, value: Bytes): string {
  const found = `${value.length} ${value.length === 1 ? 'octet' : 'octets'}`;
  return `${found}: allowed ${minLength === maxLength ? maxLength : `${minLength} to ${maxLength}`} octets`;
}

function asBefore(act: Act): string {
  return act.value === undefined ? '' : 'Read to see what it holds now.';
}

function said(text: string, detail?: string): Outcome {
  return { text, detail, wantsEncryption: false };
}
