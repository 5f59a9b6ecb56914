import { useSignal } from '@preact/signals';
import { keepTypedToken } from '../net/token.ts';
import { connect } from '../state/actions.ts';
import { link } from '../state/live.ts';
import { language } from '../../src/core/present/language.ts';

const words = language.screens.app.keyScreen;

/** The page was opened without its key, or with an old one. */
export function KeyScreen() {
  const typed = useSignal('');
  const wrong = useSignal(false);
  const refused = link.value.state === 'refused';
  return (
    <section class="plate sheet key">
      <h1>{refused ? words.thisPageWasNot : words.thisPageNeedsItsKey}</h1>
      <p>
        {refused ? words.theKeyInThis : words.onlySomeoneWhoCan}
        {words.openTheAddressThat} <code>{words.amptrailServe}</code> {words.printedOrPasteItHere}
      </p>
      {refused && link.value.text !== '' && <p class="fine">{words.theProgramSays(link.value.text)}</p>}
      <form
        class="form-row"
        onSubmit={(event) => {
          event.preventDefault();
          wrong.value = !keepTypedToken(typed.value);
          if (!wrong.value) connect();
        }}
      >
        <label class="field field-wide">
          <span class="field-name">{words.addressOrKey}</span>
          <input type="text" value={typed} autocomplete="off" spellcheck={false} aria-invalid={wrong.value} aria-describedby="key-wrong" onInput={(event) => (typed.value = event.currentTarget.value)} />
        </label>
        <button type="submit" class="button">{words.open}</button>
      </form>
      <p id="key-wrong" class="error" role="status">{wrong.value ? words.thatIsNotA : ''}</p>
    </section>
  );
}
