import type { ComponentChildren } from 'preact';
import type { HelpTopic } from '../../src/core/present/texts/help-texts.ts';
import { language } from '../../src/core/present/language.ts';
import { BatteryCableDrawing, ClampDrawing, OneWireDrawing } from './clamp-drawings.tsx';
import { BypassDrawing, SleepDrawing, VoltageLeadDrawing } from './circuit-drawings.tsx';
import './help.css';

const DRAWINGS: Readonly<Record<HelpTopic, () => ComponentChildren>> = {
  clamp: ClampDrawing,
  'one-wire': OneWireDrawing,
  'voltage-lead': VoltageLeadDrawing,
  'battery-cable': BatteryCableDrawing,
  bypass: BypassDrawing,
  sleep: SleepDrawing,
};

/** Help where it is needed: closed it is one line, open a drawing and two or three sentences. */
export function Help({ topics }: { topics: readonly HelpTopic[] }) {
  return <div class="help-list">{topics.map((topic) => <HelpCard topic={topic} key={topic} />)}</div>;
}

function HelpCard({ topic }: { topic: HelpTopic }) {
  const { title, drawing, lines } = language.help[topic];
  const Drawing = DRAWINGS[topic];
  return (
    <details class="help" data-help={topic}>
      <summary>{title}</summary>
      <div class="help-open">
        <svg viewBox="0 0 340 170" role="img" aria-label={drawing}><Drawing /></svg>
        <ul class="card-because">{lines.map((line) => <li key={line}>{line}</li>)}</ul>
      </div>
    </details>
  );
}
