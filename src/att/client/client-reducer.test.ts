import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arbitraryPdu } from '../../../test/support/arbitrary-pdu.ts';
import { hex } from '../../../test/support/att-bench.ts';
import { toHex } from '../../base/bytes.ts';
import { us } from '../../base/quantity.ts';
import { encodePdu } from '../pdu.ts';
import { attClient, startClient, type ClientEffect, type ClientEvent, type ClientState } from './client-reducer.ts';

/** A client on the bench: effects as short words. */
class ClientBench {
  state: ClientState = startClient;
  at = 0;

  event(event: ClientEvent): string {
    const step = attClient(this.state, event, us(this.at));
    this.state = step.state;
    return step.effects.map(word).join(', ');
  }

  ask(pdu: string, raw = false): string {
    return this.event({ kind: 'request', pdu: hex(pdu), raw });
  }

  receive(pdu: string): string {
    return this.event({ kind: 'received', pdu: hex(pdu) });
  }
}

function word(effect: ClientEffect): string {
  switch (effect.kind) {
    case 'send':
      return `send ${toHex(effect.pdu)}`;
    case 'answered':
      return `${effect.response?.kind ?? 'answered'} ${toHex(effect.pdu)}`;
    case 'failed':
      return effect.failure.kind === 'protocol' ? effect.failure.about : effect.failure.kind;
    case 'value':
      return `${effect.how} ${effect.handle} ${toHex(effect.value)}`;
  }
}

describe('a request', () => {
  it('is answered by its response or its error', () => {
    const bench = new ClientBench();
    expect(bench.ask('0a0300')).toBe('send 0a0300');
    expect(bench.receive('0b2a')).toBe('read-response 0b2a');
    bench.ask('0a0300');
    expect(bench.receive('010a030002')).toBe('error-response 010a030002');
    expect(bench.state.outstanding).toBeUndefined();
  });

  it.each([
    ['another response', '13', 'Write Response came where the answer to Read Request was due'],
    ['the error of another request', '0112030002', 'Error Response came where the answer to Read Request was due'],
    ['an error that is cut', '010a', 'Error Response came where the answer to Read Request was due'],
    ['an opcode that is not assigned', '3d', 'opcode 0x3d came where the answer to Read Request was due'],
    ['no octets', '', 'a PDU of no octets came where the answer to Read Request was due'],
    ['a response over the MTU', `0b${'00'.repeat(23)}`, 'Read Response has 24 octets at an MTU of 23'],
  ])('fails when %s comes', (_, pdu, about) => {
    const bench = new ClientBench();
    bench.ask('0a0300');
    expect(bench.receive(pdu)).toBe(about);
    expect(bench.state.outstanding).toBeUndefined();
  });

  it('fails when its response is no PDU', () => {
    const bench = new ClientBench();
    bench.ask('080100ffff0328');
    expect(bench.receive('0907')).toBe('Read By Type Response of 2 octets: its length must be 4 or more');
  });

  it('times out after 30 s, and nothing is sent any more', () => {
    const bench = new ClientBench();
    bench.ask('0a0300');
    bench.at = 29_999_999;
    expect(bench.event({ kind: 'time' })).toBe('');
    bench.at = 30_000_000;
    expect(bench.event({ kind: 'time' })).toBe('timeout');
    expect(bench.receive('0b2a')).toBe('');
    expect(bench.ask('0a0300')).toBe('timeout');
    expect(bench.event({ kind: 'tell', pdu: hex('520300') })).toBe('');
  });

  it('fails when the link ends', () => {
    const bench = new ClientBench();
    bench.ask('0a0300');
    expect(bench.event({ kind: 'closed' })).toBe('link-lost');
    expect(bench.ask('0a0300')).toBe('link-lost');
    expect(bench.event({ kind: 'closed' })).toBe('');
  });

  it('is one at a time', () => {
    const bench = new ClientBench();
    bench.ask('0a0300');
    expect(() => bench.ask('0a0300')).toThrow('a request is outstanding');
  });
});

describe('a request that was given up', () => {
  it('has its late answer dropped, not taken for the next one\u2019s', () => {
    const bench = new ClientBench();
    bench.ask('120300', true);
    bench.event({ kind: 'give-up' });
    bench.ask('0a0300');
    expect(bench.receive('13')).toBe('');
    expect(bench.receive('0b2a')).toBe('read-response 0b2a');
  });

  it('has its late error dropped too, once', () => {
    const bench = new ClientBench();
    bench.ask('120300', true);
    bench.event({ kind: 'give-up' });
    bench.ask('0a0300');
    expect(bench.receive('0112030003')).toBe('');
    expect(bench.receive('0112030003')).toBe('Error Response came where the answer to Read Request was due');
  });
});

describe('a raw request', () => {
  it.each([
    ['its response', '0b2a', 'read-response 0b2a'],
    ['a response too long', `0b${'00'.repeat(30)}`, `read-response 0b${'00'.repeat(30)}`],
    ['another response', '13', 'write-response 13'],
    ['an error of another request', '0112000006', 'error-response 0112000006'],
    ['a response that is no PDU', '05', 'answered 05'],
  ])('takes any answer: %s', (_, pdu, effect) => {
    const bench = new ClientBench();
    bench.ask('0a0300', true);
    expect(bench.receive(pdu)).toBe(effect);
  });
});

describe('the MTU', () => {
  it.each([
    ['020502', '03b900', 185],
    ['026400', '030502', 100],
    ['020a00', '030502', 23],
    ['020502', '030500', 23],
  ])('after %s and %s', (request, response, mtu) => {
    const bench = new ClientBench();
    bench.ask(request);
    bench.receive(response);
    expect(bench.state.mtu).toBe(mtu);
  });

  it('stays as it is when the exchange is refused', () => {
    const bench = new ClientBench();
    bench.ask('020502');
    bench.receive('0102000006');
    expect(bench.state.mtu).toBe(23);
  });
});

describe('what a server sends of itself', () => {
  it('is handed on, also while a request is outstanding', () => {
    const bench = new ClientBench();
    bench.ask('0a0300');
    expect(bench.receive('1b03002a')).toBe('notification 3 2a');
    expect(bench.receive('23 0300 0100 2a 0500 0200 01aa')).toBe('notification 3 2a, notification 5 01aa');
    expect(bench.receive('0b2a')).toBe('read-response 0b2a');
  });

  it('is confirmed when it is an indication, unless told otherwise', () => {
    const bench = new ClientBench();
    expect(bench.receive('1d03002a')).toBe('send 1e, indication 3 2a');
    bench.event({ kind: 'confirm-indications', on: false });
    expect(bench.receive('1d03002a')).toBe('indication 3 2a');
  });

  it('is refused when it is a request: a central has nothing to ask for', () => {
    const bench = new ClientBench();
    expect(bench.receive('0a0300')).toBe('send 010a000006');
    expect(bench.receive('0a03')).toBe('send 010a000006');
  });

  it.each(['520300', '1e', 'd20300', '1b03', '1d', '7f', '0b2a', ''])('is ignored when it is %s', (pdu) => {
    expect(new ClientBench().receive(pdu)).toBe('');
  });
});

describe('whatever a server sends', () => {
  const event: fc.Arbitrary<ClientEvent> = fc.oneof(
    fc.record({
      kind: fc.constant('received'),
      pdu: fc.oneof(arbitraryPdu.map(encodePdu), fc.uint8Array({ maxLength: 30 })),
    } as const),
    fc.constantFrom<ClientEvent>(
      { kind: 'time' },
      { kind: 'give-up' },
      { kind: 'request', pdu: hex('0a0300'), raw: false },
      { kind: 'request', pdu: hex('080100ffff0328'), raw: false },
      { kind: 'request', pdu: hex('7f'), raw: true },
    ),
  );

  it('never throws, and a request ends once', () => {
    fc.assert(
      fc.property(fc.array(event, { maxLength: 40 }), (events) => {
        let state = startClient;
        let asked = 0;
        let ended = 0;
        for (const each of events) {
          if (each.kind === 'request') {
            if (state.outstanding !== undefined) continue;
            asked += 1;
          }
          if (each.kind === 'give-up' && state.outstanding !== undefined) ended += 1;
          const step = attClient(state, each, us(0));
          state = step.state;
          ended += step.effects.filter(({ kind }) => kind === 'answered' || kind === 'failed').length;
          expect(asked - ended).toBe(state.outstanding === undefined ? 0 : 1);
        }
      }),
      { numRuns: 300 },
    );
  });
});
