import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';
import { liveWords } from '../../src/core/present/wording/finding-words.ts';
import { Glyph } from '../app/glyph.tsx';
import type { BigFigure } from '../reading/format.ts';
import { bigCurrent, bigVoltage, formatClock } from '../reading/format.ts';
import { freshness, hasReading, isDrain, reading, recordedS, recording, result } from '../state/live.ts';
import { oldWords } from './figures.tsx';

const words = language.pages.wide;

/** Opens the figures over the whole screen, for a hand that works three metres away. */
export function WideFiguresButton() {
  const open = useSignal(false);
  return (
    <>
      <button type="button" class="tool" onClick={() => (open.value = true)}><Glyph shape="wide" />{words.open}</button>
      {open.value && <WideFigures close={() => (open.value = false)} />}
    </>
  );
}

function WideFigures({ close }: { close: () => void }) {
  const dialog = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const element = dialog.current!;
    element.showModal();
    // a browser that does not give the whole screen gives its whole window
    element.requestFullscreen?.().catch(() => undefined);
    return () => {
      if (document.fullscreenElement === element) void document.exitFullscreen();
    };
  }, []);
  const now = reading.value;
  const old = now !== null && !hasReading.value;
  const finding = result.value === null ? null : liveWords(result.value.result);
  return (
    <dialog class="wide" ref={dialog} aria-label={words.name} onClose={close}>
      <div class={old ? 'wide-figures is-old' : 'wide-figures'}>
        <Wide figure={now === null ? null : bigCurrent(now.currentA, isDrain.value)} line="current" />
        {now?.voltageV != null && <Wide figure={bigVoltage(now.voltageV)} line="voltage" />}
      </div>
      {old && <p class="wide-old">{oldWords()}</p>}
      <div class="wide-foot">
        {finding !== null && <p class="wide-finding"><Glyph shape={finding.tone} size={36} />{finding.title}</p>}
        <p class={recording.value === null || freshness.value.state !== 'fresh' ? 'wide-state wide-not' : 'wide-state'}>
          {recording.value === null ? words.notRecording : freshness.value.state !== 'fresh' ? language.pages.old[freshness.value.state].recording : words.recording(formatClock(recordedS.value))}
        </p>
        <button type="button" class="button" onClick={() => dialog.current?.close()}>{words.close}</button>
      </div>
    </dialog>
  );
}

function Wide({ figure, line }: { figure: BigFigure | null; line: 'current' | 'voltage' }) {
  if (figure === null) return <p class="wide-figure">{words.none}</p>;
  return <p class={`wide-figure wide-${line}`}><span class="wide-sign">{figure.sign}</span>{figure.digits}<span class="wide-unit">{figure.unit}</span></p>;
}
