import type { MakeBoard } from './hosted-board.ts';

/** A kind of board that can stand behind a controller. */
export type BoardKind = {
  readonly name: string;
  readonly about: string;
  /** Loaded when it is asked for: some bring a compiler or an emulator. */
  readonly load: () => Promise<{ readonly makeBoard: MakeBoard }>;
};

/** Every kind, in the order help lists them. */
export const boardKinds: readonly BoardKind[] = [
  {
    name: 'virtual',
    about: 'the virtual board, in TypeScript',
    load: () => import('./virtual-hosted-board.ts'),
  },
  {
    name: 'native',
    about: 'the emitted firmware, compiled and run as a process',
    load: async () => ({ makeBoard: (await import('./native/native-board.ts')).makeNative }),
  },
  {
    name: 'native-san',
    about: 'the same with checks of every memory access and sum',
    load: async () => ({ makeBoard: (await import('./native/native-board.ts')).makeSanitized }),
  },
  {
    name: 'rp2040',
    about: 'its ARM image on an emulated RP2040',
    load: () => import('./chip/rp2040-board.ts'),
  },
  { name: 'wasm', about: 'the C runtime, prebuilt to WebAssembly', load: () => import('./wasm-board.ts') },
];
