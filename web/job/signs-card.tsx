import { useSignal } from '@preact/signals';
import type { TestKind } from '../../src/core/analysis/results.ts';
import { language } from '../../src/core/present/language.ts';
import { isSinceRepair } from '../../src/core/reason/answered.ts';
import type { Answer, Sign } from '../../src/core/reason/types.ts';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import { change } from './case-state.ts';

const texts = language.screens.job.signsCard;

const SEEN: Readonly<Record<TestKind, readonly Sign[]>> = {
  actuation: ['no-sound', 'hums', 'moves-a-little', 'one-way-only', 'one-side-only', 'works-after-rest', 'worse-cold', 'other-side-works', 'same-fuse-dead', 'fuse-good', 'blows-fuse'],
  drain: ['flat-after-standing', 'new-accessory', 'battery-tested-good', 'worse-cold'],
};
/** What is found by trying something, not by looking. */
const TRIED: Readonly<Record<TestKind, readonly Sign[]>> = {
  actuation: ['moves-by-hand', 'changes-when-wiggled', 'starts-when-tapped', 'runs-fed-directly', 'blows-unplugged'],
  drain: ['sleeps-after-refit'],
};
const ANSWERS: readonly { readonly value: Answer | null; readonly name: string }[] = [{ value: 'yes', name: texts.yes }, { value: 'no', name: texts.no }, { value: null, name: texts.notChecked }];
const TESTS: readonly { readonly value: TestKind; readonly name: string }[] = [{ value: 'actuation', name: texts.motorOrMechanism }, { value: 'drain', name: texts.keyOffDrain }];

/** What was verified at the vehicle: yes, no, not checked, and own words beside it. */
export function SignsCard({ job, test }: { job: JobRecord; test: TestKind }) {
  return (
    <section class="plate form" aria-label={texts.signs}>
      <h2>{texts.signs}</h2>
      <p class="fine">{texts.onlyWhatWasSeen}</p>
      <div class="segmented sign-test" role="group" aria-label={texts.kindOfComplaint}>
        {TESTS.map(({ value, name }) => <button type="button" key={value} aria-pressed={test === value} onClick={() => void change(job, () => ({ test: value }))}>{name}</button>)}
      </div>
      <ul class="signs">{SEEN[test].map((sign) => <SignRow job={job} sign={sign} key={sign} />)}</ul>
      <h3>{texts.tried}</h3>
      <ul class="signs">{TRIED[test].map((sign) => <SignRow job={job} sign={sign} key={sign} />)}</ul>
    </section>
  );
}

function SignRow({ job, sign }: { job: JobRecord; sign: Sign }) {
  const kept = job.signs[sign] ?? null;
  // an answer from before the repair is of the vehicle as it was
  const old = kept !== null && !isSinceRepair(job, sign);
  const given = old ? null : kept;
  const words = job.sign_words[sign] ?? '';
  const writing = useSignal(words !== '');
  const { ask } = language.reason.signs[sign];
  const answered = (value: Answer | null): void => {
    void change(job, ({ signs: { [sign]: _before, ...others } }) => ({ signs: value === null ? others : { ...others, [sign]: value } }), value === null ? [] : [sign]);
  };
  return (
    <li class="sign">
      <span class="sign-ask" id={`sign-${sign}`}>{ask}</span>
      <div class="segmented" role="group" aria-labelledby={`sign-${sign}`}>
        {ANSWERS.map(({ value, name }) => <button type="button" key={name} aria-pressed={given === value} onClick={() => answered(value)}>{name}</button>)}
      </div>
      {old && <span class="fine">{texts.beforeTheRepair(texts[kept])}</span>}
      {given !== null && !writing.value && <button type="button" class="link" aria-label={texts.ownWords(ask)} onClick={() => (writing.value = true)}>{texts.ownWordsShort}</button>}
      {writing.value && (
        <input
          type="text" class="sign-words" aria-label={texts.ownWords(ask)} value={words} maxLength={2000} autocomplete="off" placeholder={texts.whenHowOftenAt}
          onChange={(event) => {
            const text = event.currentTarget.value;
            void change(job, (now) => ({ sign_words: { ...now.sign_words, [sign]: text } }));
          }}
        />
      )}
    </li>
  );
}
