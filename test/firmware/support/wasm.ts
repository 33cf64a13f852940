import type { Bytes } from '../../../src/base/bytes.ts';

/** A compiled module; it can be instantiated as often as one likes. */
export type WasmModule = { readonly [brand]: true };

declare const brand: unique symbol;

export type WasmInstance = {
  readonly functions: Readonly<Record<string, (...args: number[]) => number>>;
  readonly memory: { readonly buffer: ArrayBuffer };
};

/** What is used of the global `WebAssembly`, which Node's own types do not describe. */
type Global = {
  readonly WebAssembly: {
    readonly Module: new (bytes: Bytes) => WasmModule;
    readonly Instance: new (module: WasmModule) => { readonly exports: Readonly<Record<string, unknown>> };
  };
};

const { WebAssembly: wasm } = globalThis as unknown as Global;

export function compileWasm(bytes: Bytes): WasmModule {
  return new wasm.Module(bytes);
}

/** A fresh instance of a module without imports, with memory of its own. */
export function instantiateWasm(module: WasmModule): WasmInstance {
  const { exports } = new wasm.Instance(module);
  return {
    functions: exports as WasmInstance['functions'],
    memory: exports['memory'] as WasmInstance['memory'],
  };
}
