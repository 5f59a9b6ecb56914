import { drawTrace, PLOT_COLUMNS } from '../../../core/picture/drawing.ts';
import { language } from '../../../core/present/language.ts';
import { rasterOf } from '../../../core/picture/raster.ts';
import { svgOf } from '../../../core/picture/svg.ts';
import type { PictureFormat } from '../../../core/tracefile/formats.ts';
import { pngOf } from './png.ts';
import { StoreError } from '../files/store-error.ts';
import { nextAfter } from '../samples/index/window-maker.ts';
import type { TraceReader } from '../samples/reading/trace-reader.ts';

const words = language.daemon.store.picture;

/** A part of a trace in time, s; null: from its beginning, to its end. */
export interface Stretch {
  readonly fromS: number | null;
  readonly toS: number | null;
}

/** A stored trace, however long, as a picture: drawn from the same window as the chart; `samples`: how many it shows. Throws StoreError when there is nothing to draw. */
export async function pictureOf(reader: TraceReader, format: PictureFormat, { fromS, toS }: Stretch): Promise<{ readonly bytes: Uint8Array; readonly samples: number }> {
  if (reader.samples === 0) throw new StoreError('no-samples', words.holdsNoSampleSo(reader.path));
  const startS = fromS ?? reader.firstS;
  const endS = toS ?? nextAfter(Math.max(reader.lastS, startS));
  if (!(endS > startS) || startS > reader.lastS || endS <= reader.firstS) {
    throw new StoreError('no-samples', words.thereIsNothingOf(reader.path, startS, endS, reader.firstS, reader.lastS));
  }
  const window = await reader.window(startS, endS, PLOT_COLUMNS);
  const { record, gaps, marks } = reader;
  const drawing = drawTrace({ title: [record.title || record.id, record.simulated ? language.pages.strip.virtualTrace : '', record.start.slice(0, 16).replace('T', ' ')].filter(Boolean).join(', '), startS, endS, window, gaps, marks });
  const bytes = format === 'svg' ? new TextEncoder().encode(svgOf(drawing)) : pngOf(rasterOf(drawing), drawing.title);
  return { bytes, samples: startS <= reader.firstS && endS > reader.lastS ? reader.samples : await countIn(reader, startS, endS) };
}

async function countIn(reader: TraceReader, fromS: number, toS: number): Promise<number> {
  let count = 0;
  for await (const { timeS } of reader.blocks(fromS, toS)) count += timeS.length;
  return count;
}
