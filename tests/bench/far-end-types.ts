import type { FromPage } from '../../src/core/wire/messages.ts';

/** What the far end (far-end.ts) is told to do; each is answered when it is done. */
export type FarOrder =
  | { readonly do: 'path' }
  | { readonly do: 'send'; readonly rateHz: number; readonly blockSamples: number; readonly seconds: number }
  | { readonly do: 'latencies' }
  | { readonly do: 'flood'; readonly seconds: number }
  | { readonly do: 'pages'; readonly port: number; readonly token: string; readonly count: number }
  | { readonly do: 'say'; readonly message: FromPage };

export interface SendReport {
  readonly blocks: number;
  /** of the blocks that went out */
  readonly samples: number;
  /** blocks that the terminal did not take in time */
  readonly lostBlocks: number;
  readonly bytes: number;
}
