import { concat, equalBytes, readU16le, u16le, type Bytes } from '../../base/bytes.ts';
import { us, type Microseconds } from '../../base/quantity.ts';
import { uuid16 } from '../../base/uuid.ts';
import type { Reach } from '../../att/link.ts';
import { parseConsoleLine } from '../../board/console.ts';
import type { Table } from '../../table/model.ts';
import { Below, channel, continuing, first, frame, inParts, type Part } from '../below.ts';
import type { Case } from '../case.ts';
import { quiet, type Client } from '../client.ts';
import { makeCases, type Draft } from '../make-case.ts';
import { onTheWay } from '../pace.ts';
import { slackOf, type Trial } from '../trial.ts';
import { answerWords, hexWords, timeWords } from '../words.ts';
import { readByType } from '../wire.ts';

/** Every board has a device name, Core Vol 3 Part C 12.1: it is asked for wherever any answer will do. */
const askName = readByType(1, 0xffff, uuid16(0x2a00));

/** A peripheral leaves a new connection alone for 5 s (Core Vol 3 Part C 9.3.9); a slow one asks a little later. */
const wishTime = us(15_000_000);

/** Does the board keep the link itself in order: frames, channels, connection parameters, the end. */
export function linkCases(table: Table): readonly Case[] {
  const place = table.radio.connection.where.self;
  const { interval, timeout } = table.radio.connection;
  const draft = (
    kind: string,
    about: string,
    run: (trial: Trial) => Promise<void>,
    more: readonly Reach[] = [],
  ): Draft => ({ subject: 'board', kind, about, place, requires: ['hci', 'raw-pdu', ...more], run });
  return makeCases('link', [
    draft('parts', 'A request in parts of any size is answered as if it had come whole.', answersParts),
    draft(
      'parts-of-two',
      'The parts of two clients’ requests, one between the others, are kept apart.',
      keepsPartsApart,
      ['second-client'],
    ),
    draft('cut-frame', 'A frame whose end never comes does not keep the next from being answered.', (trial) =>
      outlives(trial, [first(frame(channel.attribute, askName).subarray(0, 6))], 'a frame that is cut off'),
    ),
    draft('stray-part', 'A part of a frame that was never begun does not keep the next from being answered.', (trial) =>
      outlives(trial, [continuing(Uint8Array.of(1, 2, 3))], 'a part that belongs to nothing'),
    ),
    draft('overlong-frame', 'A frame with more octets than it says is no harm.', (trial) =>
      outlives(trial, [first(frame(channel.attribute, askName, 2))], 'a frame with octets behind its end'),
    ),
    draft('vast-frame', 'A frame that says it has 65,535 octets is no harm.', (trial) =>
      outlives(trial, [first(frame(channel.attribute, askName, 0xffff))], 'a frame that says 65,535 octets'),
    ),
    draft('unknown-channel', 'What is sent on a channel that nobody opened is ignored.', ignoresChannels),
    draft('unknown-signal', 'A signalling command that nobody knows is rejected as not understood.', (trial) =>
      rejectsSignal(trial, Uint8Array.of(0x7e, 0x21, 0, 0), 'a command with the code 0x7e'),
    ),
    draft('long-signal', 'A signalling command longer than 23 octets is rejected.', (trial) =>
      rejectsSignal(trial, concat([0x7e, 0x22], u16le(40), new Uint8Array(40)), 'a command of 44 octets'),
    ),
    draft('pairing-answered', 'Who asks for pairing gets an answer, if only that there is none.', answersPairing),
    draft(
      'parameters',
      `The board goes on when the central changes the connection interval within ${timeWords(interval.min)} to ${timeWords(interval.max)}.`,
      followsParameters,
    ),
    draft(
      'wishes',
      'A board that is given other connection parameters than the contract’s asks for the contract’s.',
      wishesParameters,
    ),
    draft(
      'loss-noticed',
      `The board notices a lost link after its supervision timeout, ${timeWords(timeout)}, not before and not much later.`,
      noticesLoss,
      ['link-loss', 'console'],
    ),
  ]);
}

/** How long an answer may take. */
function wait(trial: Trial): Microseconds {
  return us(onTheWay(trial) + quiet);
}

/** The board's answer to a plain request, sent as any client sends it. */
async function plainAnswer(client: Client): Promise<Bytes> {
  return client.mustAnswer(askName, 'a request for its name');
}

function mustBe(trial: Trial, seen: Bytes | undefined, expected: Bytes, what: string): void {
  const right = seen !== undefined && equalBytes(seen, expected);
  trial.observe(right, `${what}: ${answerWords(expected)}`, answerWords(seen));
}

async function answersParts(trial: Trial): Promise<void> {
  const client = await trial.connect();
  const below = new Below(trial, client);
  const expected = await plainAnswer(client);
  for (const size of [1, 2, 3, 5, 8]) {
    const parts = inParts(frame(channel.attribute, askName), size);
    const seen = await below.ask(parts, `a request in parts of ${size}`, channel.attribute, wait(trial));
    mustBe(trial, seen, expected, `the answer to a request in parts of ${size}`);
  }
}

async function keepsPartsApart(trial: Trial): Promise<void> {
  const one = await trial.connect();
  const other = await trial.connect({ identity: 'second' });
  const expected = await plainAnswer(one);
  const [below, beside] = [new Below(trial, one), new Below(trial, other)];
  const [begin, ...rest] = inParts(frame(channel.attribute, askName), 5);
  if (begin === undefined) return;
  below.send([begin], 'the first part of a request');
  await trial.pass(wait(trial));
  mustBe(trial, await other.exchange(askName), expected, 'the answer to the other client');
  const [beginOther, ...restOther] = inParts(frame(channel.attribute, askName), 7);
  if (beginOther !== undefined) beside.send([beginOther], 'the first part of the other client’s request');
  await trial.pass(wait(trial));
  const seen = await below.ask(rest, 'the rest of the request', channel.attribute, wait(trial));
  mustBe(trial, seen, expected, 'the answer to the client that went on');
  const seenOther = await beside.ask(restOther, 'the other client’s rest', channel.attribute, wait(trial));
  mustBe(trial, seenOther, expected, 'the answer to the other client’s parts');
}

/** Claims that after `parts` the link stands and a plain request is answered. */
async function outlives(trial: Trial, parts: readonly Part[], what: string): Promise<void> {
  const client = await trial.connect();
  const expected = await plainAnswer(client);
  const below = new Below(trial, client);
  below.send(parts, what);
  await trial.pass(wait(trial));
  trial.claim(client.isOpen, `the link stays up after ${what}`, 'it ended');
  mustBe(trial, await client.exchange(askName), expected, 'the next request is answered');
}

async function ignoresChannels(trial: Trial): Promise<void> {
  const client = await trial.connect();
  const expected = await plainAnswer(client);
  const below = new Below(trial, client);
  // Reserved; of another kind of link; the first and the last that would have to be opened.
  for (const to of [0x0000, 0x0002, 0x0020, 0x0040, 0xffff]) {
    below.send([first(frame(to, askName))], `a request on channel ${to}`);
    const heard = await below.listen(wait(trial));
    const [frameBack] = heard;
    const seen = frameBack === undefined ? '' : `${hexWords(frameBack.payload)} on channel ${frameBack.channel}`;
    trial.claim(frameBack === undefined, 'nothing comes back', seen);
  }
  trial.claim(client.isOpen, 'the link stays up', 'it ended');
  mustBe(trial, await client.exchange(askName), expected, 'a request on the right channel is answered');
}

/** Code, identifier, length, then reason: Core Vol 3 Part A 4.1. */
async function rejectsSignal(trial: Trial, signal: Bytes, what: string): Promise<void> {
  const client = await trial.connect();
  const below = new Below(trial, client);
  const parts = inParts(frame(channel.signalling, signal), below.lower?.fragmentSize ?? 27);
  const seen = await below.ask(parts, what, channel.signalling, wait(trial));
  const right = seen?.[0] === 0x01 && seen[1] === signal[1];
  const expected = `a rejection that names the command’s identifier (01 ${hexWords(signal.subarray(1, 2))} …)`;
  trial.observe(right, expected, seen === undefined ? 'no answer' : hexWords(seen));
  await plainAnswer(client);
}

async function answersPairing(trial: Trial): Promise<void> {
  const client = await trial.connect();
  const below = new Below(trial, client);
  // Pairing Request: no input or output, no other channel, no bond, Secure Connections, key of 16 octets, no keys.
  const request = Uint8Array.of(0x01, 0x03, 0x00, 0x08, 0x10, 0x00, 0x00);
  const seen = await below.ask(
    [first(frame(channel.security, request))],
    'a pairing request',
    channel.security,
    wait(trial),
  );
  const right = seen?.[0] === 0x02 || seen?.[0] === 0x05;
  const expected = 'a pairing response (02 …) or a refusal (05 with a reason)';
  trial.observe(right, expected, seen === undefined ? 'no answer' : hexWords(seen));
  await plainAnswer(client);
}

async function followsParameters(trial: Trial): Promise<void> {
  const { interval, latency, timeout } = trial.table.radio.connection;
  const client = await trial.connect();
  const expected = await plainAnswer(client);
  const { lower } = new Below(trial, client);
  // Where the contract names one interval, one beside it: a central may always do so.
  const other = interval.min < interval.max ? interval.min : us(interval.max + 12_500);
  for (const wanted of [other, interval.max]) {
    trial.remark(`the central changes the connection interval to ${timeWords(wanted)}`);
    const outcome = await lower?.update({ interval: wanted, latency, timeout });
    const now = outcome?.ok === true ? outcome.value.interval : 0;
    trial.observe(now === wanted, `an interval of ${timeWords(wanted)}`, now === 0 ? 'no change' : timeWords(now));
    await trial.pass(quiet);
    trial.claim(client.isOpen, 'the link stays up', 'it ended');
    mustBe(trial, await client.exchange(askName), expected, 'requests are answered as before');
  }
}

async function wishesParameters(trial: Trial): Promise<void> {
  const { interval, latency, timeout } = trial.table.radio.connection;
  const client = await trial.connect();
  await plainAnswer(client);
  const below = new Below(trial, client);
  const foreign = us(interval.max + 50_000);
  trial.remark(`the central changes the connection interval to ${timeWords(foreign)}`);
  await below.lower?.update({ interval: foreign, latency, timeout: us(Math.max(timeout, 8_000_000)) });
  const request = await below.next(channel.signalling, wishTime);
  // A link layer may carry the same wish by its own procedure; the central's controller then changes them by itself.
  const air = below.lower?.parameters.interval ?? foreign;
  const granted = air >= interval.min && air <= interval.max;
  const wish = wishIn(request);
  const right = granted || (wish !== undefined && wish.max >= interval.min && wish.min <= interval.max);
  const range = `${timeWords(interval.min)} to ${timeWords(interval.max)}`;
  const seen = wish === undefined ? 'nothing is asked for' : `${timeWords(wish.min)} to ${timeWords(wish.max)}`;
  trial.observe(right, `a wish for an interval of ${range}`, granted ? timeWords(air) : seen);
}

/** The interval that a Connection Parameter Update Request wishes, Core Vol 3 Part A 4.20. */
function wishIn(signal: Bytes | undefined): { readonly min: number; readonly max: number } | undefined {
  if (signal?.[0] !== 0x12) return undefined;
  const [min, max] = [readU16le(signal, 4), readU16le(signal, 6)];
  return min === undefined || max === undefined ? undefined : { min: min * 1250, max: max * 1250 };
}

async function noticesLoss(trial: Trial): Promise<void> {
  const client = await trial.connect();
  await plainAnswer(client);
  const parameters = new Below(trial, client).lower?.parameters;
  const { timeout, interval } = parameters ?? { timeout: us(0), interval: us(0) };
  let noticed: Microseconds | undefined;
  const stop = trial.link.console?.onLine((text) => {
    const line = parseConsoleLine(text);
    if (line?.kind === 'note' && line.event.kind === 'disconnected') noticed ??= trial.now;
  });
  const left = trial.now;
  await trial.lose(client);
  await trial.pass(us(timeout + interval + slackOf(trial.link)));
  stop?.();
  const took = noticed === undefined ? undefined : noticed - left;
  // The last packet may have come up to an interval before the loss, with what the board may sleep through.
  const least = timeout - interval * (1 + trial.table.radio.connection.latency) - slackOf(trial.link);
  const seen = took === undefined ? 'its console says nothing' : `after ${timeWords(took)}`;
  const expected = `about ${timeWords(timeout)} after the loss`;
  trial.observe(took !== undefined && took >= least, expected, seen);
}
