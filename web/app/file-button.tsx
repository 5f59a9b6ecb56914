import { useSignal } from '@preact/signals';
import { useRef } from 'preact/hooks';
import { wordsOf } from '../state/stored.ts';
import { Allowed } from './allowed.tsx';

interface Props {
  /** the field's name for the screen reader */
  readonly field: string;
  readonly accept: string;
  readonly text: string;
  /** on the button while the file is brought in */
  readonly busy: string;
  readonly bringIn: (file: File) => Promise<void>;
  /** why it failed, in words; empty when it begins */
  readonly failed: (words: string) => void;
}

/** A button that asks for one file and hands it on, one at a time. */
export function FileButton({ field, accept, text, busy, bringIn, failed }: Props) {
  const input = useRef<HTMLInputElement>(null);
  const working = useSignal(false);
  const chosen = async (file: File | undefined): Promise<void> => {
    if (file === undefined) return;
    failed('');
    working.value = true;
    try {
      await bringIn(file);
    } catch (failure) {
      failed(wordsOf(failure));
    } finally {
      working.value = false;
      if (input.current !== null) input.current.value = '';
    }
  };
  return (
    <>
      <input ref={input} type="file" class="unseen" tabIndex={-1} aria-label={field} accept={accept} onChange={(event) => void chosen(event.currentTarget.files?.[0])} />
      <Allowed to="change"><button type="button" class="tool" aria-disabled={working.value} onClick={() => !working.value && input.current?.click()}>{working.value ? busy : text}</button></Allowed>
    </>
  );
}
