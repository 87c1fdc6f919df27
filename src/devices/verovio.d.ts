// verovio comes without types: what is used of it here and in tests.

declare module 'verovio/wasm' {
  const create: () => Promise<unknown>;
  export default create;
}

declare module 'verovio/esm' {
  export const LOG_OFF: number;
  export function enableLog(level: number, module: unknown): void;
  export class VerovioToolkit {
    constructor(module: unknown);
    setOptions(options: Readonly<Record<string, unknown>>): void;
    loadData(score: string): boolean | number;
    getPageCount(): number;
    renderToSVG(page: number): string;
    renderToMIDI(): string;
  }
}
