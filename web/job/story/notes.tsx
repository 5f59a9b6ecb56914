import { useSignal } from '@preact/signals';
import { MAX_NOTE_TEXT } from '../../../src/core/tracefile/job-story.ts';
import type { JobNote, JobRecord } from '../../../src/core/tracefile/record.ts';
import { addNote, changeNote } from '../../net/job-api.ts';
import { TextField } from '../../set-up/fields.tsx';
import { useKeep } from './keep.ts';
import { language } from '../../../src/core/present/language.ts';

const words = language.screens.job.story.notes;

/** What was seen, said or agreed, with its time. */
export function NoteForm({ job }: { job: JobRecord }) {
  const text = useSignal('');
  const { error, keep } = useKeep();
  const put = async (): Promise<void> => {
    if (text.value.trim() === '') error.value = words.theNoteIsEmpty;
    else if (await keep(() => addNote(job.id, text.value))) text.value = '';
  };
  return (
    <form class="plate form" aria-label={words.newNote} onSubmit={(event) => {
      event.preventDefault();
      void put();
    }}>
      <h2>{words.note}</h2>
      <TextField name={words.whatWasSeenSaid} long value={text.value} set={(value) => (text.value = value)} maxLength={MAX_NOTE_TEXT} />
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
      <div class="form-end"><button type="submit" class="button">{words.addTheNote}</button></div>
    </form>
  );
}

export function NoteEntry({ job, note }: { job: JobRecord; note: JobNote }) {
  const { error, keep } = useKeep();
  return (
    <>
      <p class="story-text">{note.text}</p>
      <button type="button" class="link" aria-label={words.removeTheNote(note.text.slice(0, 40))} onClick={() => void keep(() => changeNote(job.id, note.at, true))}>{words.remove}</button>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </>
  );
}
