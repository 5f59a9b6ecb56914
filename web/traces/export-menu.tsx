import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { fileNameOf } from '../../src/core/tracefile/file-name.ts';
import type { Segment } from '../../src/core/present/ribbon.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { pictureOfChart } from '../chart/picture.ts';
import { toCanvas } from '../chart/picture-render.ts';
import { svgOf } from '../../src/core/picture/svg.ts';
import type { LimitLine } from '../chart/uplot-chart.ts';
import { downloadFile, saveBlob } from '../net/download.ts';
import { tracePath } from '../net/api.ts';
import { wordsOf } from '../state/stored.ts';
import type { OpenedTrace } from './opened-trace.ts';

interface Picture {
  readonly state: ChartState;
  readonly limits: readonly LimitLine[];
  readonly segments: readonly Segment[];
  readonly title: string;
}

const FILES = [
  { ending: 'csv', name: 'CSV', hint: 'spreadsheets' },
  { ending: 'arrows', name: 'Arrow', hint: 'pandas, R, Julia' },
  { ending: 'parquet', name: 'Parquet', hint: 'DuckDB, Spark' },
  { ending: 'zip', name: 'Zip', hint: 'for another amptrail' },
] as const;

/** The trace as a file, or the part in view as a picture. */
export function ExportMenu({ trace, picture }: { trace: OpenedTrace; picture: () => Picture }) {
  const menu = useRef<HTMLDetailsElement>(null);
  const error = useSignal('');
  const name = fileNameOf(trace.detail.value!.record);
  useEffect(() => {
    const close = (event: Event): void => {
      const open = menu.current;
      if (open === null || !open.open) return;
      if (event instanceof KeyboardEvent ? event.key !== 'Escape' : open.contains(event.target as Node)) return;
      open.open = false;
      if (event instanceof KeyboardEvent) open.querySelector('summary')?.focus();
    };
    addEventListener('pointerdown', close);
    addEventListener('keydown', close);
    return () => {
      removeEventListener('pointerdown', close);
      removeEventListener('keydown', close);
    };
  }, []);
  const run = async (act: () => Promise<void>): Promise<void> => {
    error.value = '';
    try {
      await act();
      if (menu.current !== null) menu.current.open = false;
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  return (
    <details class="menu" ref={menu}>
      <summary class="tool">Export</summary>
      <div class="menu-body plate">
        {FILES.map((file) => (
          <button type="button" class="menu-item" key={file.ending} onClick={() => void run(() => downloadFile(`${tracePath(trace.ref)}/export.${file.ending}`, `${name}.${file.ending}`))}>
            {file.name}<span>{file.hint}</span>
          </button>
        ))}
        <button type="button" class="menu-item" onClick={() => void run(async () => saveBlob(await toCanvas(drawn(picture()), 2), `${name}.png`))}>Picture (PNG)<span>the part in view</span></button>
        <button type="button" class="menu-item" onClick={() => void run(async () => saveBlob(new Blob([svgOf(drawn(picture()))], { type: 'image/svg+xml' }), `${name}.svg`))}>Drawing (SVG)<span>the part in view</span></button>
        {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      </div>
    </details>
  );
}

function drawn({ state, limits, segments, title }: Picture): ReturnType<typeof pictureOfChart> {
  const view = state.view.peek();
  return pictureOfChart({ title, view, samples: state.source.samples(view, 1600), gaps: state.source.gaps(), limits, segments });
}
