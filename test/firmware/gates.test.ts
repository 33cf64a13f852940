import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { beforeAll, expect, it } from 'vitest';
import { deepestFrom, readCallGraph } from './support/call-graph.ts';
import { emitInto, examples, exampleSource, includes, type EmittedFolder } from './support/emitted.ts';
import { describeWith, repository, runTool, strictFlags, temporaryFolder } from './support/tool.ts';

/** The bench's contract with a value of every kind, and one whose words try to break out of comments and strings. */
const everyKind = readFileSync(join(repository, 'test/mutants/every-kind.yaml'));
const hostile = `contract: 1
board: { name: "*/ int x; /* \\"??/" }
uuid-base: 6b1d0000-0f5e-4c3a-9a77-2f0c5b8e41d0
services:
  - id: main
    label: "*/ #error out"
    characteristics:
      - id: int
        label: "*/ } /* ??/ \\\\"
        type: { enum: uint32, names: { 0: "*/", 1: "int", 4294967295: "Int!", 7: "ÄÖ", 8: "→" } }
        access: [read, write]
      - id: int-size
        label: "/* // \\u202e"
        type: { struct: [ { id: class, label: "*/", type: uint4 }, { id: new, label: "x", type: uint12 }, { id: while, label: "y", type: bytes, length: [0, 3] } ] }
        access: [read, write]
      - id: int-max
        label: Same name as a macro
        type: { flags: uint8, names: { 0: "a b", 1: "a-b", 2: "*/" } }
        access: [read, write]
`;

const contracts = (): readonly (readonly [string, Uint8Array | string])[] => [
  ...examples.map((name) => [name, exampleSource(name)] as const),
  ['every-kind', everyKind],
  ['hostile', hostile],
];

function ownSources({ sources }: EmittedFolder): string[] {
  return sources.filter((path) => !path.startsWith('runtime/'));
}

function runtimeSources({ sources }: EmittedFolder): string[] {
  return sources.filter((path) => path.startsWith('runtime/'));
}

const folder = temporaryFolder();
const emitted = new Map<string, EmittedFolder>();
beforeAll(() => {
  for (const [name, source] of contracts()) emitted.set(name, emitInto(join(folder, name), source));
});
const tank = (): EmittedFolder => {
  const found = emitted.get('wave-tank');
  if (found === undefined) throw new Error('not emitted');
  return found;
};

for (const compiler of ['gcc', 'clang']) {
  describeWith([compiler], `${compiler} with every warning an error`, () => {
    const compile = (from: EmittedFolder, paths: readonly string[], port: string): void => {
      const objects = join(from.folder, `objects-${compiler}`);
      mkdirSync(objects, { recursive: true });
      const files = paths.map((path) => join(from.folder, path));
      runTool(compiler, [...strictFlags, '-O1', ...includes(from.folder, port), '-c', ...files], { cwd: objects });
    };
    it('takes the runtime and the POSIX port', () => {
      const ports = readdirSync(join(tank().folder, 'ports/posix')).filter((name) => name.endsWith('.c'));
      compile(tank(), [...runtimeSources(tank()), ...ports.map((name) => `ports/posix/${name}`)], 'posix');
    }, 120_000);
    it('takes what is made for every contract', () => {
      for (const from of emitted.values()) compile(from, ownSources(from), 'posix');
    }, 120_000);
  });
}

describeWith(['g++', 'gcc'], 'a header alone', () => {
  it('is C, and C++', () => {
    for (const from of emitted.values()) {
      const header = join(from.folder, `${from.prefix}.h`);
      const flags = ['-fsyntax-only', '-Wall', '-Wextra', '-Werror', ...includes(from.folder, 'posix')];
      runTool('g++', ['-x', 'c++', '-std=c++11', '-pedantic-errors', ...flags, header]);
      runTool('gcc', ['-x', 'c', '-std=c99', '-pedantic-errors', ...flags, header]);
    }
  }, 60_000);
  it('is so for each of the runtime', () => {
    const headers = readdirSync(join(tank().folder, 'runtime/include'));
    expect(headers.length).toBeGreaterThan(8);
    for (const name of headers) {
      const flags = ['-fsyntax-only', '-Wall', '-Wextra', '-Werror', ...includes(tank().folder, 'posix')];
      runTool('g++', ['-x', 'c++', '-std=c++11', ...flags, join(tank().folder, 'runtime/include', name)]);
    }
  }, 60_000);
});

/** What a build for a chip takes from outside: the compiler's own helpers for whole numbers, and octets moved about. */
const allowed =
  /^(?:mem(?:cpy|set|cmp|move)|__aeabi_u?[il]div(?:mod)?|__aeabi_uldivmod|__aeabi_l(?:mul|lsl|lsr|asr|cmp)|__aeabi_ulcmp|__aeabi_mem\w+|__gnu_thumb1_case_\w+|__clz[sd]i2)$/;

describeWith(['arm-none-eabi-gcc', 'arm-none-eabi-nm'], 'on a Cortex-M0+', () => {
  const arm = ['-mcpu=cortex-m0plus', '-mthumb', '-Os', '-ffreestanding', '-ffunction-sections'];
  let objects = '';
  let sources: string[] = [];
  beforeAll(() => {
    objects = join(folder, 'arm');
    mkdirSync(objects);
    sources = [...tank().sources, 'ports/rp2040/machine.c', 'ports/arm/startup.c'].map((path) =>
      join(tank().folder, path),
    );
    runTool(
      'arm-none-eabi-gcc',
      [...strictFlags, ...arm, '-fcallgraph-info=su', ...includes(tank().folder, 'rp2040'), '-c', ...sources],
      { cwd: objects },
    );
  }, 120_000);

  it('needs no library: no heap, no floating point, nothing of an operating system', () => {
    const files = readdirSync(objects).filter((name) => name.endsWith('.o'));
    runTool('arm-none-eabi-gcc', [...arm, '-nostdlib', '-r', ...files, '-o', 'all.o'], { cwd: objects });
    const missing = runTool('arm-none-eabi-nm', ['-u', 'all.o'], { cwd: objects })
      .toString()
      .split('\n')
      .flatMap((line) => /U (\S+)/.exec(line)?.[1] ?? [])
      .filter((name) => !name.startsWith('image_'));
    expect(missing.filter((name) => !allowed.test(name))).toEqual([]);
  });

  it('keeps no state outside the caller’s context, but for the port’s way to its interrupts', () => {
    const state = runTool('arm-none-eabi-nm', ['all.o'], { cwd: objects })
      .toString()
      .split('\n')
      .flatMap((line) => /^\S+ [bBdDcC] (\S+)/.exec(line)?.[1] ?? [])
      .map((name) => name.replace(/\.\d+$/, ''));
    expect(state.sort()).toEqual(['board', 'machine', 'machine_of_interrupts']);
  });

  it('calls no function from within itself, and takes a bounded stack', () => {
    const units = readdirSync(objects).filter((name) => name.endsWith('.ci'));
    const graph = readCallGraph(units.map((name) => readFileSync(join(objects, name), 'utf8')));
    expect(graph.dynamic).toEqual([]);
    // Calls through pointers: the board calls its port, which is the host, and the handlers; host and console the machine.
    const ofBoard = ['port_att_send', 'port_disconnect', 'port_micros', 'changed'];
    const ofHost = ['gw_machine_radio_send', 'gw_machine_micros'];
    const ofConsole = ['gw_machine_console_print', 'gw_machine_console_ready'];
    const deepest = deepestFrom(graph, 'main', (file) => {
      if (/gw_(?:host|hci|acl|h4|l2cap|signalling)\w*\.c$/.test(file)) return ofHost;
      return /gw_(?:out|console)\w*\.c$/.test(file) ? ofConsole : ofBoard;
    });
    // 3 KiB are what the smallest port keeps for the stack.
    expect(deepest.octets, deepest.path.join(' > ')).toBeLessThan(1536);
    expect(deepest.path.length).toBeGreaterThan(5);
  });
});

describeWith(['cppcheck'], 'cppcheck', () => {
  it('finds nothing in the runtime, the ports and what is made', () => {
    const enable = '--enable=warning,performance,portability';
    const options = ['--std=c99', '--quiet', '--error-exitcode=1', '--inline-suppr', '--suppress=missingIncludeSystem'];
    runTool('cppcheck', [enable, ...options, ...includes(tank().folder, 'posix'), join(tank().folder)]);
  }, 120_000);
});

/** Prints the memory that the macros give, and what the runtime asks for. */
function sizesProgram(prefix: string): string {
  const upper = prefix.toUpperCase();
  return `#include <stdio.h>
#include "${prefix}.h"
int main(void) {
  const uint8_t *table = ${prefix}_table;
  printf("%u %u %u\\n", (unsigned)(4u * ${upper}_MEMORY_WORDS), (unsigned)${upper}_HOST_OCTETS, (unsigned)${upper}_LINE_OCTETS);
  printf("%u %u %u\\n", (unsigned)gw_board_memory(table, ${upper}_TABLE_SIZE), (unsigned)gw_host_memory(table),
         (unsigned)gw_console_memory(table));
  return 0;
}
`;
}

describeWith(['cmake', 'gcc'], 'an emitted folder', () => {
  const build = (from: EmittedFolder): string => {
    const into = join(from.folder, 'build');
    runTool('cmake', ['-S', from.folder, '-B', into]);
    runTool('cmake', ['--build', into, '-j2']);
    return into;
  };

  it('builds with one command and answers on its console', () => {
    const binary = join(build(tank()), 'tank');
    const said = runTool(binary, [], {
      input: Buffer.from('get paddle\nset paddle 1.25\nset caption hello\n'),
    }).toString();
    expect(said).toMatch(/^note 0 start [0-9a-f]{32}\r\ntell 0 battery-level 00 start\r\n/);
    expect(said).toMatch(/value \d+ paddle 3200 0\.5 Hz\r\ndone get\r\ntell \d+ paddle 7d00 console\r\ndone set\r\n/);
    expect(said).toMatch(/tell \d+ caption 68656c6c6f console\r\ndone set\r\n$/);
  }, 120_000);

  it('begins with a reset of the controller on its H4 stream', () => {
    const binary = join(tank().folder, 'build', 'tank');
    // HCI Reset, Core Vol 4 Part E 7.3.2.
    expect([...runTool(binary, ['--hci', 'stdio'], { input: Buffer.alloc(0) })].slice(0, 4)).toEqual([1, 3, 12, 0]);
  });

  it('says what is wrong with its options', () => {
    const binary = join(tank().folder, 'build', 'tank');
    expect(() => runTool(binary, ['--speed', '9'])).toThrow('unknown option');
    expect(() => runTool(binary, ['--hci'])).toThrow('an option without its value');
    expect(() => runTool(binary, ['--address', '00:11:22:33:44:55'])).toThrow('a random static address');
    expect(() => runTool(binary, ['--hci', '/nowhere/tty'])).toThrow('could not open /nowhere/tty');
  });

  it('has in its macros the memory that the runtime asks for', () => {
    for (const sizes of [['-DGW_CONNECTIONS=1'], ['-DGW_CONNECTIONS=5', '-DGW_EVENT_OCTETS=0']]) {
      const objects = join(folder, `sizes${sizes.join('')}`);
      mkdirSync(objects);
      const compile = ['-std=c99', '-O0', ...sizes, ...includes(tank().folder, 'posix')];
      runTool('gcc', [...compile, '-c', ...runtimeSources(tank()).map((path) => join(tank().folder, path))], {
        cwd: objects,
      });
      for (const from of emitted.values()) {
        writeFileSync(join(from.folder, 'sizes.c'), sizesProgram(from.prefix));
        const own = ['sizes.c', `${from.prefix}_table.c`].map((path) => join(from.folder, path));
        runTool('sh', ['-c', 'exec gcc "$@" *.o -o sizes', 'sh', `-I${from.folder}`, ...compile, ...own], {
          cwd: objects,
        });
        const [macros, asked] = runTool(join(objects, 'sizes'), []).toString().trim().split('\n');
        expect(macros, `${from.prefix} ${sizes.join(' ')}`).toBe(asked);
      }
    }
  }, 120_000);
});

it('the emitted wave tank reads as it did', async () => {
  for (const name of ['tank.h', 'app.c']) {
    const content = readFileSync(join(tank().folder, name), 'utf8');
    await expect(content).toMatchFileSnapshot(join('golden', 'wave-tank', name));
  }
});
