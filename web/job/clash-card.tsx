import { useSignal } from '@preact/signals';
import { mergeFields, withValue, type Clash } from '../../src/core/merge.ts';
import { language } from '../../src/core/present/language.ts';
import type { Sign } from '../../src/core/reason/types.ts';
import { Glyph } from '../app/glyph.tsx';

const words = language.together.clash;

interface Props<T extends object> {
  /** what this page began from, what it wants to save, and what somebody else has saved meanwhile */
  readonly was: Partial<T>;
  readonly mine: Partial<T>;
  readonly now: T;
  readonly save: (fields: T) => void;
}

type Choice = 'theirs' | 'mine' | 'both';

/** Two people have changed the same: both versions side by side, and what stays is chosen here. */
export function ClashCard<T extends object>({ was, mine, now, save }: Props<T>) {
  const choices = useSignal<Readonly<Record<string, Choice>>>({});
  const { merged, clashes } = mergeFields(was, mine, now);
  const chosen = clashes.every(({ path }) => choices.value[path.join('.')] !== undefined);
  return (
    <form
      class="plate form clash" aria-label={words.name}
      onSubmit={(event) => {
        event.preventDefault();
        save(clashes.reduce((fields, clash) => withValue(fields, clash.path, valueOf(clash, choices.value[clash.path.join('.')]!)), merged));
      }}
    >
      <h2><Glyph shape="fault" size={18} />{words.title}</h2>
      <p role="alert">{words.text}</p>
      {clashes.map((clash) => {
        const key = clash.path.join('.');
        return <ClashRow clash={clash} key={key} chosen={choices.value[key] ?? null} choose={(choice) => (choices.value = { ...choices.value, [key]: choice })} />;
      })}
      <div class="form-end"><button type="submit" class="button" disabled={!chosen}>{words.save}</button></div>
    </form>
  );
}

function ClashRow({ clash, chosen, choose }: { clash: Clash; chosen: Choice | null; choose: (choice: Choice) => void }) {
  const texts = typeof clash.theirs === 'string' && typeof clash.mine === 'string' && clash.theirs !== '' && clash.mine !== '' && clash.path.length === 1;
  const rows: readonly (readonly [Choice, string, unknown])[] = [['theirs', words.theirs, clash.theirs], ['mine', words.mine, clash.mine], ...(texts ? [['both', words.both, valueOf(clash, 'both')] as const] : [])];
  return (
    <fieldset class="clash-row">
      <legend>{nameOf(clash.path)}</legend>
      {rows.map(([choice, name, value]) => (
        <label class="check" key={choice}>
          <input type="radio" name={clash.path.join('.')} checked={chosen === choice} onChange={() => choose(choice)} />
          <span><b>{name}:</b> <span class="clash-value">{shown(value)}</span></span>
        </label>
      ))}
    </fieldset>
  );
}

function valueOf({ theirs, mine }: Clash, choice: Choice): unknown {
  if (choice === 'both') return `${String(theirs)}\n${String(mine)}`;
  return choice === 'theirs' ? theirs : mine;
}

function nameOf(path: readonly string[]): string {
  const last = path.at(-1)!;
  const sign = path.length === 2 ? (language.reason.signs[last as Sign]?.ask ?? null) : null;
  return sign ?? path.map((part) => part.replaceAll(/[_-]/g, ' ')).join(', ').replace(/^./, (first) => first.toUpperCase());
}

function shown(value: unknown): string {
  if (value === undefined || value === null || value === '') return words.empty;
  return typeof value === 'object' ? JSON.stringify(value) : String(value);
}
