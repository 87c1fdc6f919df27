// verovio comes without types: what the tests use of it.

declare module 'verovio/wasm' {
  const create: () => Promise<unknown>;
  export default create;
}

declare module 'verovio/esm' {
  export class VerovioToolkit {
    constructor(module: unknown);
    setOptions(options: Readonly<Record<string, unknown>>): void;
    loadData(score: string): boolean | number;
    renderToMIDI(): string;
  }
}
