import { listenOn } from '../../links/unix-listener.ts';
import { RadioStand } from '../../links/radio-stand.ts';
import { RealClock } from '../../links/real-clock.ts';
import { streamPort } from '../../links/stream-port.ts';
import { lossOf, openBoard, openCapture } from '../bench.ts';
import { CannotRun } from '../cannot-run.ts';
import { chosenRig } from '../chosen-rig.ts';
import { required, type Run } from '../command.ts';
import { openCompiled } from '../open-contract.ts';

export const run: Run = async (input, io) => {
  const path = input.option('listen');
  if (path === undefined) throw new CannotRun('`radio` needs a socket to listen on', 'add `--listen SOCKET`');
  const compiled = await openCompiled(required(input, 'FILE'), io);
  if (compiled === undefined) return 2;
  const { table } = compiled;
  const rig = await chosenRig(input, compiled.path, table);
  const seed = Number(input.option('seed') ?? '1');
  const loss = lossOf(input);
  // What comes late is caught up with, so that the radio keeps its times among themselves.
  const clock = new RealClock({ catchUp: true });
  const board = await openBoard(input.option('board') ?? 'virtual', table, { clock, rig, seed });

  const file = openCapture(input);
  const stand = new RadioStand(board, { clock, seed, loss, record: file?.writer });
  const end = async (): Promise<void> => {
    await board.stop();
    file?.close();
    // Timers of the room would keep the process alive.
    clock.stop();
  };
  const listening = await listenOn(path, (socket) => {
    const admitted = stand.admit(streamPort(socket), () => {
      io.err('the host has gone\n');
    });
    if (admitted) io.err('a host has come\n');
    else {
      io.err('another host was sent away: one at a time\n');
      socket.destroy();
    }
  });
  if (!listening.ok) {
    await end();
    throw new CannotRun(listening.why, listening.remedy);
  }
  io.out(`${table.board.name} (${board.name}) advertises; HCI (H4) at ${path}\n`);
  await new Promise<void>((resolve) => {
    io.onInterrupt(resolve);
  });
  await listening.close();
  await end();
  return 0;
};
