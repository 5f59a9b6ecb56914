import { useSignal } from '@preact/signals';
import type { FunctionComponent } from 'preact';
import { useEffect } from 'preact/hooks';
import { language } from '../../src/core/present/language.ts';
import { Glyph } from './glyph.tsx';

/** Rest after the first screen is there before the others are fetched, ms. */
const AHEAD_MS = 3000;

/**
 * A screen whose script is fetched when it is wanted first, or ahead of that once the first screen is there: the page is there sooner, and a screen does not
 * fail later because the program has ended meanwhile.
 */
export function lazy<Props extends object>(load: () => Promise<FunctionComponent<Props>>): FunctionComponent<Props> {
  let known: FunctionComponent<Props> | null = null;
  const fetched = async (): Promise<FunctionComponent<Props>> => (known ??= await load());
  // one that cannot be fetched ahead is fetched, and complained of, when it is wanted
  setTimeout(() => void fetched().catch(() => undefined), AHEAD_MS);
  return function Lazy(props: Props) {
    const here = useSignal(known !== null);
    const failed = useSignal(false);
    useEffect(() => {
      if (here.peek()) return;
      fetched().then(
        () => (here.value = true),
        () => (failed.value = true),
      );
    }, []);
    if (here.value && known !== null) {
      const Known = known;
      return <Known {...props} />;
    }
    if (!failed.value) return <p class="sheet" role="status">{language.pages.screens.opening}</p>;
    return <p class="notice notice-fault" role="alert"><Glyph shape="fault" size={18} />{language.pages.screens.failed}</p>;
  };
}
