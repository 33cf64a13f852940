import { opcodeLabel } from '../../numbers/att-opcodes.ts';
import { failure, success, type Outcome } from '../link.ts';
import { encodePdu } from '../pdu/encode.ts';
import type { AttRequest, AttResponse } from '../pdu/model.ts';

/**
 * A GATT procedure as a sequence without effects: it yields requests and is given the response to each, which is either
 * the one that belongs to the request or an Error Response. Whoever runs it deals with lost links and time-outs, and
 * ends it there.
 */
export type Procedure<T> = Generator<AttRequest, Outcome<T>, AttResponse>;

/** The outcome of a procedure that got another response than it can use: the server's error, or a broken protocol. */
export function unusable(answer: AttResponse): Outcome<never> {
  if (answer.kind === 'error-response') {
    return failure({ kind: 'att-error', code: answer.code, handle: answer.handle });
  }
  return broken(`${opcodeLabel(encodePdu(answer)[0] ?? 0)} came where another response was due`);
}

export function broken(about: string): Outcome<never> {
  return failure({ kind: 'protocol', about });
}

/** A request whose positive response says nothing. */
export function* plain(request: AttRequest, response: AttResponse['kind']): Procedure<void> {
  const answer = yield request;
  return answer.kind === response ? success(undefined) : unusable(answer);
}
