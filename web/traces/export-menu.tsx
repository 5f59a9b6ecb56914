import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { FILE_FORMATS } from '../../src/core/tracefile/formats.ts';
import { language } from '../../src/core/present/language.ts';
import { fileNameOf } from '../../src/core/tracefile/file-name.ts';
import type { Segment } from '../../src/core/present/wording/ribbon.ts';
import type { ChartState } from '../chart/chart-state.ts';
import { pictureOfChart } from '../chart/plot/picture.ts';
import { toCanvas } from '../chart/plot/picture-render.ts';
import { svgOf } from '../../src/core/picture/svg.ts';
import type { LimitLine } from '../chart/plot/uplot-chart.ts';
import { downloadFile, saveBlob } from '../net/download.ts';
import { tracePath } from '../net/api.ts';
import { wordsOf } from '../state/stored.ts';
import type { OpenedTrace } from './opened-trace.ts';

const words = language.screens.traces.exportMenu;

interface Picture {
  readonly state: ChartState;
  readonly limits: readonly LimitLine[];
  readonly segments: readonly Segment[];
  readonly title: string;
}

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
      <summary class="tool">{words.export}</summary>
      <div class="menu-body plate">
        {FILE_FORMATS.map((format) => (
          <button type="button" class="menu-item" key={format} onClick={() => void run(() => downloadFile(`${tracePath(trace.ref)}/export.${format}`, `${name}.${format}`))}>
            {language.formats[format].name}<span>{language.formats[format].hint}</span>
          </button>
        ))}
        <button type="button" class="menu-item" onClick={() => void run(async () => saveBlob(await toCanvas(drawn(picture()), 2), `${name}.png`))}>{language.formats.png.name}<span>{language.formats.png.hint}</span></button>
        <button type="button" class="menu-item" onClick={() => void run(async () => saveBlob(new Blob([svgOf(drawn(picture()))], { type: 'image/svg+xml' }), `${name}.svg`))}>{language.formats.svg.name}<span>{language.formats.svg.hint}</span></button>
        {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      </div>
    </details>
  );
}

function drawn({ state, limits, segments, title }: Picture): ReturnType<typeof pictureOfChart> {
  const view = state.view.peek();
  return pictureOfChart({ title, view, samples: state.source.samples(view, 1600), gaps: state.source.gaps(), limits, segments });
}
