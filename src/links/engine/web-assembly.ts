/** A compiled module, known only to those who instantiate it. */
export type WasmModule = { readonly [Symbol.toStringTag]?: 'WebAssembly.Module' };

type WasmInstance = { readonly exports: Readonly<Record<string, unknown>> };

type WebAssemblyInterface = {
  compile(octets: Uint8Array): Promise<WasmModule>;
  readonly Instance: new (module: WasmModule) => WasmInstance;
};

/**
 * What is used here of the WebAssembly interface, which Node and browsers have alike (W3C WebAssembly JavaScript Interface)
 * and which only the types of a browser declare.
 */
export const webAssembly = (globalThis as unknown as { readonly WebAssembly: WebAssemblyInterface }).WebAssembly;
