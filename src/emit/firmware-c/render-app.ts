import type { Table } from '../../table/model.ts';
import { Writer } from '../writer.ts';
import { blockComment } from './comment.ts';
import type { RenderedValue } from './render-value.ts';

/** `app.c`: a program to begin with, in which the student's own code goes. */
export function renderApp(table: Table, prefix: string, values: readonly RenderedValue[]): string {
  const writer = new Writer();
  writer.line(`#include "${prefix}.h"`).gap();
  writer.lines(
    blockComment([
      'The program of the board. It owns the one context, looks after its own work in short turns, and gives the rest of the time to the radio and the console. Nothing here may wait: what takes long is done in parts, one a turn.',
    ]),
  );
  writer.gap();
  for (const [i, { handler, name, driveCall }] of values.entries()) {
    if (handler === undefined) continue;
    writer.lines(blockComment([`Somebody changed ${table.values[i]?.label ?? name}: pass it on to the hardware.`]));
    writer.block(`${handler} {`, '}', () => {
      writer.lines(driveCall);
      for (const parameter of parametersOf(handler)) {
        if (driveCall.length === 0 || parameter !== 'value') writer.line(`(void)${parameter};`);
      }
    });
    writer.gap();
  }
  writer.line('/** Microseconds between two looks at the sensors. */').line('#define SAMPLE_INTERVAL 50000u').gap();
  const sensors = values.filter(({ handler }) => handler === undefined);
  writer.lines(
    blockComment([
      'Reads the sensors and says what they read. The board tells subscribers as often as the contract allows.',
      ...(sensors[0] === undefined
        ? []
        : [`For example: (void)${prefix}_set_${sensors[0].name}(board, what you measured).`]),
    ]),
  );
  writer.block(`static void sample(struct ${prefix} *board) {`, '}', () => writer.line('(void)board;')).gap();
  writer.block('int main(int argc, char **argv) {', '}', () => {
    writer.lines([`static struct gw_machine machine;`, `static struct ${prefix} board;`, 'uint32_t sampled;']);
    writer.line('if (!gw_machine_open(&machine, argc, argv)) return 2;');
    writer.line(`if (${prefix}_init(&board, &machine) != GW_OK) return 3;`);
    writer.line('sampled = gw_machine_micros(&machine);');
    writer.block('for (;;) {', '}', () => {
      writer.line('uint32_t wait;');
      writer.line('uint32_t passed = gw_machine_micros(&machine) - sampled;');
      writer.block('if (passed >= SAMPLE_INTERVAL) {', '}', () => {
        writer.line('sampled += passed - passed % SAMPLE_INTERVAL;');
        writer.line('passed %= SAMPLE_INTERVAL;');
        writer.line('sample(&board);');
      });
      writer.line(`wait = ${prefix}_poll(&board);`);
      writer.line('if (wait > SAMPLE_INTERVAL - passed) wait = SAMPLE_INTERVAL - passed;');
      writer.line('if (!gw_machine_wait(&machine, wait)) return 0;');
    });
  });
  return writer.text();
}

/** The names of a prototype's parameters. */
function parametersOf(prototype: string): string[] {
  const inner = prototype.slice(prototype.indexOf('(') + 1, prototype.lastIndexOf(')'));
  return inner.split(', ').flatMap((parameter) => /(\w+)\)?(?:\[\d+\])*$/.exec(parameter)?.[1] ?? []);
}
