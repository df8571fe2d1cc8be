/** The bundler hands over a WebAssembly module as its bytes. */
declare module '*.wasm' {
  const bytes: Uint8Array<ArrayBuffer>;
  export default bytes;
}
