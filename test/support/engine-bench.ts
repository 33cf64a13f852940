import { us } from '../../src/base/quantity.ts';
import { fromHex, toHex } from '../../src/base/bytes.ts';
import { encodeFrame, fragment } from '../../src/hci/l2cap.ts';
import type { HciCommand } from '../../src/hci/commands/codec.ts';
import { packTable } from '../../src/emit/packed-table/pack-table.ts';
import { engineModule } from '../../src/links/engine/module.ts';
import { EngineBoard, type EngineBoardOptions } from '../../src/links/wasm-board.ts';
import type { Table } from '../../src/table/model.ts';
import { boardTable } from './board-table.ts';
import { ScriptedController } from './scripted-controller.ts';

export const att = 4;
export const signalling = 5;
export const security = 6;

const module = await engineModule();

/** The engine on a controller that does as a test says. */
export function engineBench(
  options: Omit<EngineBoardOptions, 'clock'> & { readonly table?: Table } = {},
  prepare: (controller: ScriptedController) => void = () => undefined,
) {
  const { table = boardTable(), ...others } = options;
  const packed = packTable(table);
  if (!packed.ok) throw new Error(packed.why);
  const controller = new ScriptedController();
  prepare(controller);
  const board = new EngineBoard(module, table, packed.bytes, { ...others, clock: controller.clock });
  const lines: string[] = [];
  board.console.onLine((line) => lines.push(line));
  board.start(controller.port);
  controller.run();
  /** What the host said since the last time somebody asked. */
  let seen = 0;
  return {
    controller,
    board,
    table,
    lines,
    /** A central is there. */
    connect(
      handle = 0x40,
      more: { readonly interval?: number; readonly latency?: number; readonly timeout?: number } = {},
    ) {
      const { interval, latency, timeout } = table.radio.connection;
      controller.tell('le-connection-complete', {
        status: 0,
        handle,
        role: 1,
        peerAddressType: 1,
        peerAddress: `c4:00:00:00:00:${handle.toString(16)}`,
        interval: interval.max / 1250,
        latency,
        timeout: timeout / 10_000,
        clockAccuracy: 0,
        ...more,
      });
      controller.run();
    },
    disconnect(handle: number, reason: number) {
      controller.tell('disconnection-complete', { status: 0, handle, reason });
      controller.run();
    },
    /** Brings one frame, cut to `size` octets. */
    bring(channel: number, hex: string, handle = 0x40, size = 27) {
      const frame = encodeFrame({ channel, payload: fromHex(hex)! });
      for (const { boundary, data } of fragment(frame, size)) {
        controller.bring(handle, data, boundary === 'first' ? 2 : 1);
      }
      controller.run();
    },
    /** The controller has sent so many fragments of a connection. */
    complete(handle: number, count: number) {
      controller.tell('number-of-completed-packets', { completed: [{ handle, count }] });
      controller.run();
    },
    pass(microseconds: number) {
      controller.clock.advance(us(microseconds));
    },
    /** Commands since the last time this was asked. */
    commands: (): readonly HciCommand[] => {
      const news = controller.commands.slice(seen);
      seen = controller.commands.length;
      return news;
    },
    /** Frames that left whole since the last time, per fragment: handle, boundary, octets. */
    sent(): readonly string[] {
      return controller.acl
        .splice(0)
        .map(({ handle, boundary, data }) => `${handle.toString(16)} ${boundary} ${toHex(data)}`);
    },
  };
}
