import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import type { Workshop } from '../../src/core/report/input.ts';
import { Allowed } from '../app/allowed.tsx';
import { getWorkshop, keepHeading, keepLogo, removeLogo } from '../net/job-api.ts';
import { wordsOf } from '../state/stored.ts';
import { language } from '../../src/core/present/language.ts';

const texts = language.screens.prove.headingCard;

/** The workshop's own heading, typed once: it is on every page for a customer. `changed` is called when the page must be made again. */
export function HeadingCard({ changed }: { changed: () => void }) {
  const workshop = useSignal<Workshop | null>(null);
  const text = useSignal('');
  const error = useSignal('');
  const said = useSignal('');
  const file = useRef<HTMLInputElement>(null);
  const put = async (change: () => Promise<Workshop>, words: string): Promise<void> => {
    error.value = said.value = '';
    try {
      workshop.value = await change();
      said.value = words;
      changed();
    } catch (failure) {
      error.value = wordsOf(failure);
    }
  };
  useEffect(() => {
    getWorkshop().then((kept) => {
      workshop.value = kept;
      text.value = kept.heading;
    }, (failure: unknown) => (error.value = wordsOf(failure)));
  }, []);
  const logo = workshop.value?.logo ?? null;
  return (
    <details class="plate prove-choice heading-card">
      <summary>{workshop.value === null || workshop.value.heading !== '' || logo !== null ? texts.yourHeading : texts.yourHeadingNoneYet}</summary>
      <form class="form" aria-label={texts.headingOfYourPages} onSubmit={(event) => {
        event.preventDefault();
        void put(() => keepHeading(text.value), texts.savedItIsOn);
      }}>
        <Allowed to="change"><label class="field field-wide">
          <span class="field-name">{texts.nameOfTheWorkshop}</span>
          <textarea rows={4} maxLength={500} value={text.value} onInput={(event) => (text.value = event.currentTarget.value)} />
        </label>
        {logo !== null && <img src={`data:${logo.type};base64,${logo.base64}`} alt={texts.logo} />}
        <input ref={file} type="file" class="unseen" tabIndex={-1} aria-label={texts.logoFile} accept="image/jpeg,image/png,image/webp" onChange={(event) => {
          const chosen = event.currentTarget.files?.[0];
          if (chosen !== undefined) void put(() => keepLogo(chosen), texts.logoSaved);
          event.currentTarget.value = '';
        }} />
        {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
        <div class="form-end">
          <button type="submit" class="button">{texts.saveTheHeading}</button>
          <button type="button" class="button button-quiet" onClick={() => file.current?.click()}>{logo === null ? texts.chooseALogo : texts.chooseAnotherLogo}</button>
          {logo !== null && <button type="button" class="link" onClick={() => void put(removeLogo, texts.logoRemoved)}>{texts.removeTheLogo}</button>}
        </div></Allowed>
        <p class="fine" role="status">{said.value}</p>
      </form>
    </details>
  );
}
