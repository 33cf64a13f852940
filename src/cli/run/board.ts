import { VirtualClock, type Clock } from '../../base/clock.ts';
import { us } from '../../base/quantity.ts';
import { VirtualBoard } from '../../board/virtual-board.ts';
import { inMemoryLink } from '../../links/in-memory.ts';
import { RealClock } from '../../links/real-clock.ts';
import { Central } from '../central.ts';
import { required, type Run } from '../command.ts';
import { chosenRig } from '../chosen-rig.ts';
import { openCompiled } from '../open-contract.ts';
import { timeOption, typedTime } from '../time-option.ts';

export const run: Run = async (input, io) => {
  const compiled = await openCompiled(required(input, 'FILE'), io);
  if (compiled === undefined) return 2;
  const { table, path } = compiled;
  const limit = input.option('for') === undefined ? undefined : timeOption('for', input.option('for') ?? '');
  const rig = await chosenRig(input, path, table);

  const virtual = input.has('fast') ? new VirtualClock() : undefined;
  const clock: Clock = virtual ?? new RealClock();
  const board = new VirtualBoard(table, { clock, rig, seed: Number(input.option('seed') ?? '1') });
  const print = (line: string): void => {
    io.out(`${line}\n`);
  };
  board.onPrint(print);
  const link = inMemoryLink(board);
  const central = new Central(link, table, print);
  board.start();

  /** `@wait` belongs to time, not to the central: it is the only way virtual time passes here. */
  const act = async (line: string): Promise<void> => {
    const wait = /^@wait\s+(.*)$/.exec(line);
    if (wait !== null) {
      const time = typedTime(wait[1] ?? '');
      if (time === undefined) print('@ name a time: `@wait 500 ms`');
      else await clock.sleep(time);
    } else if (line.startsWith('@')) await central.act(line.slice(1));
    else board.type(line);
  };

  const lines = io.lines()[Symbol.asyncIterator]();
  const ended = new Promise<'ended'>((resolve) => {
    io.onInterrupt(() => {
      resolve('ended');
    });
    if (limit !== undefined && virtual === undefined) {
      void clock.sleep(limit).then(() => {
        resolve('ended');
      });
    }
  });
  for (;;) {
    const next = await Promise.race([lines.next(), ended]);
    if (next === 'ended' || next.done === true) break;
    await act(next.value);
  }
  if (virtual !== undefined && limit !== undefined) virtual.advance(us(Math.max(0, limit - virtual.now())));
  await link.close();
  board.stop();
  await lines.return?.();
  return 0;
};
