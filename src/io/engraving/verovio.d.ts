/** What Handspan uses of the engraver; the package itself carries no types. */
declare module 'verovio/wasm' {
  const createModule: () => Promise<unknown>;

  // biome-ignore lint/style/noDefaultExport: the package's own form.
  export default createModule;
}

declare module 'verovio/esm' {
  /** What it complains of goes to `getLog` instead of the console. */
  export function enableLogToBuffer(isOn: boolean, module: unknown): void;
  export class VerovioToolkit {
    constructor(module: unknown);
    setOptions(options: { readonly [name: string]: unknown }): void;
    loadData(data: string): boolean;
    getPageCount(): number;
    renderToSVG(page: number): string;
    renderToMIDI(): string;
    getLog(): string;
    getVersion(): string;
    destroy(): void;
  }
}
