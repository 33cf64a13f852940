import { concat, u16le, type Bytes } from '../../base/bytes.ts';
import { attError } from '../../numbers/att-errors.ts';
import { isCommand, opcode, opcodeEntry } from '../../numbers/att-opcodes.ts';
import type { Fault } from '../model.ts';
import { effects, handleIn, received, requestOf, sent, withOctet } from './plant.ts';

// Faults in the protocol itself: which PDUs are answered, and how.

const rangeRequests: ReadonlySet<number> = new Set([
  opcode.findInformationRequest,
  opcode.findByTypeValueRequest,
  opcode.readByTypeRequest,
  opcode.readByGroupTypeRequest,
]);
const handleRequests: ReadonlySet<number> = new Set([
  ...rangeRequests,
  opcode.readRequest,
  opcode.readBlobRequest,
  opcode.writeRequest,
]);

/** Octets of requests that have one length only. Core Vol 3 Part F 3.4. */
const fixedLengths: ReadonlyMap<number, number> = new Map([
  [opcode.exchangeMtuRequest, 3],
  [opcode.findInformationRequest, 5],
  [opcode.readRequest, 3],
  [opcode.readBlobRequest, 5],
  [opcode.executeWriteRequest, 2],
]);

export const protocolFaults: readonly Fault[] = [
  {
    name: 'handle-zero-accepted',
    about: 'Handle 0 is taken for the first one.',
    symptom: 'A client with a mistake gets an answer instead of the error that would tell it.',
    wrap: received((pdu) =>
      handleRequests.has(pdu[0] ?? 0) && pdu.length >= 3 && handleIn(pdu) === 0
        ? concat(pdu.subarray(0, 1), u16le(1), pdu.subarray(3))
        : pdu,
    ),
  },
  {
    name: 'range-backwards-accepted',
    about: 'A range of handles that ends before it starts is searched all the same.',
    symptom: 'Discovery never comes to an end in clients that count on the error.',
    wrap: received((pdu) => {
      if (!rangeRequests.has(pdu[0] ?? 0) || pdu.length < 5) return pdu;
      const start = handleIn(pdu);
      const end = (pdu[3] ?? 0) | ((pdu[4] ?? 0) << 8);
      return start <= end ? pdu : concat(pdu.subarray(0, 1), u16le(Math.max(1, end)), u16le(start), pdu.subarray(5));
    }),
  },
  {
    name: 'unknown-request-unanswered',
    about: 'Requests that the board does not know get no answer.',
    symptom: 'The client waits thirty seconds and gives the link up.',
    wrap: sent((pdu) =>
      pdu[0] === opcode.errorResponse &&
      pdu[4] === attError.requestNotSupported &&
      opcodeEntry(pdu[1] ?? 0) === undefined
        ? []
        : [pdu],
    ),
  },
  {
    name: 'answered-twice',
    about: 'Every Read Request is answered twice.',
    symptom: 'The client is one answer behind from then on.',
    wrap: sent((pdu) => (pdu[0] === opcode.readResponse ? [pdu, pdu] : [pdu])),
  },
  {
    name: 'unknown-command-answered',
    about: 'Commands that the board does not know are answered with an error.',
    symptom: 'An answer arrives that belongs to nothing.',
    wrap: effects((all, { event }) => {
      const code = requestOf(event)?.[0];
      if (event.kind !== 'received' || code === undefined || !isCommand(code) || opcodeEntry(code) !== undefined)
        return all;
      const pdu = Uint8Array.of(opcode.errorResponse, code, 0, 0, attError.requestNotSupported);
      return [...all, { kind: 'send', connection: event.connection, pdu }];
    }),
  },
  {
    name: 'read-multiple-reversed',
    about: 'Read Multiple answers with the values in the order of their handles from the last to the first.',
    symptom: 'Two values that are read together are exchanged.',
    wrap: received((pdu) => {
      const multiple = pdu[0] === opcode.readMultipleRequest || pdu[0] === opcode.readMultipleVariableRequest;
      if (!multiple || pdu.length % 2 === 0) return pdu;
      const handles: Bytes[] = [];
      for (let at = 1; at < pdu.length; at += 2) handles.unshift(pdu.subarray(at, at + 2));
      return concat(pdu.subarray(0, 1), ...handles);
    }),
  },
  {
    name: 'error-names-no-request',
    about: 'Error Responses name opcode 0 instead of the request they answer.',
    symptom: 'Clients cannot tell what was refused.',
    wrap: sent((pdu) => [pdu[0] === opcode.errorResponse ? withOctet(pdu, 1, () => 0) : pdu]),
  },
  {
    name: 'error-names-no-handle',
    about: 'Error Responses name handle 0 instead of the attribute at fault.',
    symptom: 'In a list of handles nobody knows which one was refused.',
    wrap: sent((pdu) => [
      pdu[0] === opcode.errorResponse ? concat(pdu.subarray(0, 2), u16le(0), pdu.subarray(4)) : pdu,
    ]),
  },
  {
    name: 'overlong-request-accepted',
    about: 'Octets behind the end of a request are ignored.',
    symptom: 'A garbled request is carried out.',
    wrap: received((pdu) => {
      const length = fixedLengths.get(pdu[0] ?? 0);
      return length !== undefined && pdu.length > length ? pdu.slice(0, length) : pdu;
    }),
  },
  {
    name: 'unknown-handle-unanswered',
    about: 'A request for a handle that does not exist gets no answer.',
    symptom: 'The client waits thirty seconds and gives the link up.',
    wrap: sent((pdu) => (pdu[0] === opcode.errorResponse && pdu[4] === attError.invalidHandle ? [] : [pdu])),
  },
  {
    name: 'stray-response-answered',
    about: 'Responses and confirmations that a client sends are answered with an error.',
    symptom: 'Two boards that talk to each other never stop.',
    wrap: effects((all, { event }) => {
      const code = requestOf(event)?.[0];
      const kind = opcodeEntry(code ?? 0)?.kind;
      if (event.kind !== 'received' || code === undefined || (kind !== 'response' && kind !== 'confirmation'))
        return all;
      const pdu = Uint8Array.of(opcode.errorResponse, code, 0, 0, attError.requestNotSupported);
      return [...all, { kind: 'send', connection: event.connection, pdu }];
    }),
  },
  {
    name: 'signed-write-obeyed',
    about: 'A signed write is carried out, whoever signed it.',
    symptom: 'Anybody can set the value, signature or not.',
    wrap: received((pdu) =>
      pdu[0] === opcode.signedWriteCommand && pdu.length >= 15
        ? concat([opcode.writeRequest], pdu.subarray(1, -12))
        : pdu,
    ),
  },
  {
    name: 'reads-lost-while-subscribed',
    about: 'A client that has subscribed to something gets no answer to its Read Requests.',
    symptom: 'The link is given up after thirty seconds as soon as values stream.',
    wrap: received((pdu, _, __, from) => (pdu[0] === opcode.readRequest && from.cccds.size > 0 ? undefined : pdu)),
  },
];
