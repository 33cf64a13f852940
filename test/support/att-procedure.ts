import type { Procedure } from '../../src/att/client/procedure.ts';
import { failure, type Outcome } from '../../src/att/link.ts';
import { decodePdu, encodePdu, type AttRequest, type AttResponse } from '../../src/att/pdu.ts';
import { isResponse } from '../../src/att/pdu/kind.ts';
import { hex, type ServerBench } from './att-bench.ts';

/** Runs a procedure of the client against whatever answers, without link, clock or client. */
export function runProcedure<T>(
  procedure: Procedure<T>,
  answer: (request: AttRequest) => AttResponse,
  mostRequests = 70_000,
): Outcome<T> & { readonly requests: number } {
  let requests = 0;
  let turn = procedure.next();
  while (turn.done !== true) {
    requests += 1;
    if (requests > mostRequests) {
      return { ...failure({ kind: 'protocol', about: 'the procedure does not end' }), requests };
    }
    turn = procedure.next(answer(turn.value));
  }
  return { ...turn.value, requests };
}

/** Runs a procedure against a server. */
export function runOn<T>(bench: ServerBench, procedure: Procedure<T>): Outcome<T> & { readonly requests: number } {
  return runProcedure(procedure, (request) => {
    const answer = decodePdu(hex(bench.ask(encodePdu(request))));
    if (!isResponse(answer)) throw new Error(`no response: ${answer.kind}`);
    return answer;
  });
}
