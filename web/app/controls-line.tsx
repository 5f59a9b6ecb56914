import { language } from '../../src/core/present/language.ts';
import { send } from '../state/actions.ts';
import { controls, link, mayChange } from '../state/live.ts';
import { Glyph } from './glyph.tsx';

const words = language.together.controls;

/** Who works the logger, where that is not plainly this page; and the question of another page that wants to. */
export function ControlsLine() {
  const now = controls.value;
  if (link.value.state !== 'open') return null;
  if (!mayChange.value) return <section class="band" aria-label={words.name}><p><Glyph shape="open" />{words.viewOnly}</p></section>;
  if (now === null || (now.mine && now.askedBy === null)) return null;
  if (now.mine) {
    return (
      <section class="band band-ask" aria-label={words.name} role="alert">
        <p><Glyph shape="open" />{words.askedBy(now.askedBy!)}</p>
        <button type="button" class="tool" onClick={() => send({ type: 'controls', do: 'hand-over' })}>{words.handOver}</button>
        <button type="button" class="tool" onClick={() => send({ type: 'controls', do: 'keep' })}>{words.keep}</button>
      </section>
    );
  }
  const { holder, asked } = now;
  return (
    <section class="band" aria-label={words.name}>
      <p role="status"><Glyph shape="open" />{holder === null ? words.free : asked === 'waiting' ? words.waiting(holder) : asked === 'declined' ? words.declined(holder) : words.watching(holder)}</p>
      {asked !== 'waiting' && <button type="button" class="tool" onClick={() => send({ type: 'controls', do: 'take' })}>{holder === null ? words.take : words.ask}</button>}
    </section>
  );
}
