import { describe, expect, it } from 'vitest';
import { VirtualClock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import { commandName, commands } from '../commands/registry.ts';
import { Commander } from './commander.ts';

function bench() {
  const clock = new VirtualClock();
  const sent: string[] = [];
  const silent: string[] = [];
  const commander = new Commander(
    ({ opcode }) => sent.push(commandName(opcode)!),
    clock,
    (name) => silent.push(name),
  );
  const complete = (name: keyof typeof commands, returns: number[], credit = 1): void => {
    commander.takeComplete({ credit, opcode: commands[name].opcode, returns: Uint8Array.from(returns) });
  };
  return { clock, sent, silent, commander, complete };
}

describe('commands', () => {
  it('go one by one while the controller allows one', () => {
    const { sent, commander, complete } = bench();
    const statuses: number[] = [];
    commander.complete('reset', {}, ({ status }) => statuses.push(status));
    commander.complete('le-rand', {}, ({ status }) => statuses.push(status));
    expect(sent).toEqual(['reset']);
    complete('reset', [0]);
    expect(sent).toEqual(['reset', 'le-rand']);
    complete('le-rand', [0x0c]);
    expect(statuses).toEqual([0, 0x0c]);
  });

  it('wait while the controller allows none, and go when it says so without an answer', () => {
    const { sent, commander, complete } = bench();
    commander.complete('reset', {});
    complete('reset', [0], 0);
    commander.complete('le-rand', {});
    expect(sent).toEqual(['reset']);
    // Command Complete of no command: Core Vol 4 Part E 7.7.14.
    commander.takeComplete({ credit: 2, opcode: 0, returns: new Uint8Array(0) });
    commander.start('le-read-remote-features', { handle: 1 });
    expect(sent).toEqual(['reset', 'le-rand', 'le-read-remote-features']);
  });

  it('find their answers though these come in another order', () => {
    const { commander, complete } = bench();
    commander.takeComplete({ credit: 2, opcode: 0, returns: new Uint8Array(0) });
    const answers: unknown[] = [];
    commander.complete('le-read-buffer-size', {}, ({ returns }) => answers.push(returns));
    commander.complete('le-rand', {}, ({ returns }) => answers.push(returns?.random[0]));
    complete('le-rand', [0, 7, 0, 0, 0, 0, 0, 0, 0]);
    complete('le-read-buffer-size', [0, 27, 0, 4]);
    expect(answers).toEqual([7, { aclLength: 27, aclCount: 4 }]);
  });

  it('that the controller does not know are answered by their status', () => {
    const { commander } = bench();
    let status: number | undefined;
    commander.complete('le-rand', {}, (answer) => {
      status = answer.status;
    });
    commander.takeStatus({ credit: 1, opcode: commands['le-rand'].opcode, status: 0x01 });
    expect(status).toBe(0x01);
  });

  it('to which the controller says nothing for 2 s are given up', () => {
    const { clock, silent, commander, complete } = bench();
    commander.complete('reset', {});
    clock.advance(us(1_999_000));
    complete('reset', [0]);
    commander.complete('le-rand', {});
    clock.advance(us(1_999_000));
    expect(silent).toEqual([]);
    clock.advance(us(1000));
    expect(silent).toEqual(['le-rand']);
  });

  it('are forgotten at a reset', () => {
    const { clock, sent, silent, commander, complete } = bench();
    let answered = false;
    commander.complete('le-rand', {}, () => {
      answered = true;
    });
    commander.complete('reset', {});
    commander.reset();
    commander.complete('reset', {});
    complete('le-rand', [0, 0, 0, 0, 0, 0, 0, 0, 0]);
    expect([answered, sent]).toEqual([false, ['le-rand', 'reset']]);
    complete('reset', [0]);
    clock.advance(us(10_000_000));
    expect(silent).toEqual([]);
  });
});
