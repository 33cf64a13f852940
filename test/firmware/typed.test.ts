import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import fc from 'fast-check';
import { beforeAll, expect, it } from 'vitest';
import { checkValue } from '../../src/values/check.ts';
import type { Table } from '../../src/table/model.ts';
import { emitInto, examples, exampleSource, includes, tableOf, type EmittedFolder } from './support/emitted.ts';
import { describeWith, repository, runTool, strictFlags, temporaryFolder } from './support/tool.ts';

/** Statements that read a value through its typed getter, put the start value there, and set what was read. */
function throughTypes(header: string, prefix: string): string[] {
  const getters = header.matchAll(
    new RegExp(`^(.*) (${prefix}_get_(\\w+))\\(struct ${prefix} \\*board(?:, (.*))?\\);$`, 'gm'),
  );
  return [...getters].flatMap(([, result = '', get = '', name = '', rest]) => {
    const setter = new RegExp(`${prefix}_set_${name}\\(struct ${prefix} \\*board, (.*)\\);`).exec(header)?.[1] ?? '';
    const macro = `${prefix}_${name}`.toUpperCase();
    if (!header.includes(`#define ${macro} UINT16_C`)) return [];
    const set = `${prefix}_set_${name}`;
    const [, type = ''] = /^(.*?) ?\*value/.exec(rest ?? '') ?? [];
    const counted = /, uint16_t (?:length|count)$/.test(setter) ? ', count' : '';
    if (rest === undefined)
      return [`case ${macro}: { ${result} v = ${get}(b); reset(b, ${macro}); return ${set}(b, v); }`];
    if (rest.endsWith('uint16_t room')) {
      return [
        `case ${macro}: { ${type} v[512]; uint16_t count = ${get}(b, v, 512); (void)count; reset(b, ${macro}); return ${set}(b, v${counted}); }`,
      ];
    }
    const single = result === 'void' && type.startsWith('struct') && !header.includes(`${macro}_COUNT`);
    if (single) return [`case ${macro}: { ${type} v; ${get}(b, &v); reset(b, ${macro}); return ${set}(b, &v); }`];
    const read = counted === '' ? `${get}(b, v);` : `uint16_t count = ${get}(b, v);`;
    return [`case ${macro}: { ${type} v[512]; ${read} reset(b, ${macro}); return ${set}(b, v${counted}); }`];
  });
}

/** Reads records of index, length and octets; answers each with what the typed functions made of the octets. */
function program(header: string, prefix: string): string {
  const handlers = [...header.matchAll(new RegExp(`^(void ${prefix}_on_\\w+\\(.*\\));$`, 'gm'))].map(
    ([, text = '']) => {
      const names = [...text.matchAll(/(\w+)(?=,|\)$)/g)].map(([, name = '']) => `(void)${name};`);
      return `${text} { ${names.join(' ')} }`;
    },
  );
  return `#include <stdio.h>
#include "${prefix}.h"
${handlers.join('\n')}
static void reset(struct ${prefix} *b, uint16_t index) {
  struct gw_span start = gw_table_start(${prefix}_table, index);
  (void)gw_board_set(&b->board, index, start.octets, start.length, GW_RIG);
}
static enum gw_status through(struct ${prefix} *b, uint16_t index) {
  switch (index) {
    ${throughTypes(header, prefix).join('\n    ')}
    default: return GW_ERROR_INDEX;
  }
}
int main(int argc, char **argv) {
  static struct gw_machine machine;
  static struct ${prefix} board;
  static uint8_t octets[512];
  uint8_t head[4];
  (void)argc;
  if (!gw_machine_open(&machine, 1, argv) || ${prefix}_init(&board, &machine) != GW_OK) return 2;
  while (fread(head, 4, 1, stdin) == 1) {
    uint16_t index = (uint16_t)(head[0] | head[1] << 8);
    uint16_t length = (uint16_t)(head[2] | head[3] << 8);
    if (fread(octets, 1, length, stdin) != length) return 3;
    if (gw_board_set(&board.board, index, octets, length, GW_RIG) != GW_OK) return 4;
    if (through(&board, index) != GW_OK) return 5;
    length = gw_board_copy(&board.board, index, octets, sizeof octets);
    head[2] = (uint8_t)(length & 0xFF);
    head[3] = (uint8_t)(length >> 8);
    (void)fwrite(head, 4, 1, stdout);
    (void)fwrite(octets, 1, length, stdout);
  }
  return 0;
}
`;
}

/** Octets that the values take: start values, and random ones. */
function records(table: Table): Buffer {
  const found: Buffer[] = [];
  for (const { index, type, start, minLength, maxLength } of table.values) {
    const random = fc.sample(fc.uint8Array({ minLength, maxLength }), { numRuns: 400, seed: index + 1 });
    // Few random octets are small numbers; the upper half of each is cleared in as many again.
    const small = random.map((octets) => octets.map((octet, i) => (i % 2 === 1 ? octet & 3 : octet)));
    const allowed = [...random, ...small].filter((octets) => checkValue(type, octets) === undefined);
    for (const octets of [start, ...allowed.slice(0, 150)]) {
      const head = Buffer.alloc(4);
      head.writeUInt16LE(index, 0);
      head.writeUInt16LE(octets.length, 2);
      found.push(head, Buffer.from(octets));
    }
  }
  return Buffer.concat(found);
}

describeWith(['gcc'], 'typed functions', () => {
  const folder = temporaryFolder();
  const objects = join(folder, 'objects');
  let compile: string[] = [];
  const link = (from: EmittedFolder, main: string, name: string): string => {
    writeFileSync(join(from.folder, `${name}.c`), main);
    const own = [`${name}.c`, `${from.prefix}.c`, `${from.prefix}_table.c`].map((path) => join(from.folder, path));
    runTool('sh', ['-c', 'exec gcc "$@" *.o -o program', 'sh', `-I${from.folder}`, ...compile, ...own], {
      cwd: objects,
    });
    return join(objects, 'program');
  };
  beforeAll(() => {
    const from = emitInto(join(folder, 'runtime'), exampleSource('wave-tank'));
    mkdirSync(objects);
    compile = ['-O1', '-fsanitize=address,undefined', '-fno-sanitize-recover=all', ...includes(from.folder, 'posix')];
    const paths = [
      ...from.sources.filter((path) => path.startsWith('runtime/')),
      'machine.c',
      'stream.c',
      'lockstep.c',
    ];
    const files = paths.map((path) => join(from.folder, path.includes('/') ? path : `ports/posix/${path}`));
    runTool('gcc', [...strictFlags, ...compile, '-c', ...files], { cwd: objects });
  }, 120_000);

  const everyKind = readFileSync(join(repository, 'test/mutants/every-kind.yaml'));
  it.each([...examples, 'every-kind'])(
    'read and write the octets of every value of %s',
    (name) => {
      const source = name === 'every-kind' ? everyKind : exampleSource(name);
      const from = emitInto(join(folder, name), source);
      const table = tableOf(source);
      const header = readFileSync(join(from.folder, `${from.prefix}.h`), 'utf8');
      expect(throughTypes(header, from.prefix)).toHaveLength(table.values.length);
      const input = records(table);
      const answer = runTool(link(from, program(header, from.prefix), 'through'), [], { input });
      expect(answer.equals(input)).toBe(true);
    },
    60_000,
  );

  it('put the fields of a struct where the contract says, and scale as it says', () => {
    const from = emitInto(join(folder, 'dimmer-fields'), exampleSource('dimmer'));
    const header = readFileSync(join(from.folder, 'dimmer.h'), 'utf8');
    const handlers = program(header, 'dimmer').split('static void reset')[0] ?? '';
    const main = `${handlers}
int main(int argc, char **argv) {
  static struct gw_machine machine;
  static struct dimmer board;
  static const struct dimmer_supply supply = {3, 0x123, 2300, 0x010203};
  uint8_t octets[8];
  uint16_t i;
  uint16_t length;
  (void)argc;
  if (!gw_machine_open(&machine, 1, argv) || dimmer_init(&board, &machine) != GW_OK) return 2;
  if (dimmer_set_supply(&board, &supply) != GW_OK) return 3;
  length = gw_board_copy(&board.board, DIMMER_SUPPLY, octets, sizeof octets);
  for (i = 0; i < length; i++) printf("%02x", octets[i]);
  printf(" %d", (int)dimmer_set_follow_in_milli_volt(&board, 7250));
  printf(" %u", (unsigned)dimmer_get_follow(&board));
  printf(" %d", (int)dimmer_set_follow_in_milli_volt(&board, 10001));
  printf(" %d", (int)dimmer_get_follow_in_milli_volt(&board));
  printf(" %u", (unsigned)dimmer_drive_follow(dimmer_get_follow(&board)));
  printf(" %d", (int)dimmer_set_scene(&board, DIMMER_SCENE_HOUSE_LIGHTS));
  printf(" %u\\n", (unsigned)(DIMMER_TRIPS_CIRCUIT_2 | DIMMER_TRIPS_MAIN_SWITCH));
  return 0;
}
`;
    // Phase in the lower half octet, current above it; 7.25 V of 10 V at 12 bits is word 2970 (2969.6); -6 is GW_ERROR_RANGE.
    expect(runTool(link(from, main, 'fields'), []).toString()).toBe('3312fc08030201 0 7250 -6 7250 2970 0 32770\n');
  }, 60_000);
});
