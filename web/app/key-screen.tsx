import { useSignal } from '@preact/signals';
import { keepTypedToken } from '../net/token.ts';
import { connect } from '../state/actions.ts';
import { link } from '../state/live.ts';

/** The page was opened without its key, or with an old one. */
export function KeyScreen() {
  const typed = useSignal('');
  const wrong = useSignal(false);
  const refused = link.value.state === 'refused';
  return (
    <section class="plate sheet key">
      <h1>{refused ? 'This page was not let in' : 'This page needs its key'}</h1>
      <p>
        {refused ? 'The key in this browser tab is wrong or old: amptrail makes a new one at every start. ' : 'Only someone who can read this terminal may view and operate the logger. '}
        Open the address that <code>amptrail serve</code> printed, or paste it here.
      </p>
      {refused && link.value.text !== '' && <p class="fine">The program says: {link.value.text}</p>}
      <form
        class="form-row"
        onSubmit={(event) => {
          event.preventDefault();
          wrong.value = !keepTypedToken(typed.value);
          if (!wrong.value) connect();
        }}
      >
        <label class="field field-wide">
          <span class="field-name">Address or key</span>
          <input type="text" value={typed} autocomplete="off" spellcheck={false} aria-invalid={wrong.value} aria-describedby="key-wrong" onInput={(event) => (typed.value = event.currentTarget.value)} />
        </label>
        <button type="submit" class="button">Open</button>
      </form>
      <p id="key-wrong" class="error" role="status">{wrong.value ? 'That is not a key. A key is one long word of letters, digits, - and _.' : ''}</p>
    </section>
  );
}
