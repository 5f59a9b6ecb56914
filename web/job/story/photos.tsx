import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { MAX_CAPTION } from '../../../src/core/tracefile/job-story.ts';
import type { JobPhoto, JobRecord } from '../../../src/core/tracefile/record.ts';
import { addPhoto, changePhoto, photoUrl } from '../../net/job-api.ts';
import { useKeep } from './keep.ts';
import { language } from '../../../src/core/present/language.ts';

const words = language.screens.job.story.photos;

/** Photos from the tablet's camera or from files. */
export function PhotoForm({ job }: { job: JobRecord }) {
  const input = useRef<HTMLInputElement>(null);
  const working = useSignal(false);
  const { error, keep } = useKeep();
  const put = async (files: readonly File[]): Promise<void> => {
    working.value = true;
    for (const file of files) if (!(await keep(() => addPhoto(job.id, file)))) break;
    working.value = false;
    if (input.current !== null) input.current.value = '';
  };
  const removed = job.photos.filter((photo) => photo.removed).length + job.notes.filter((note) => note.removed).length;
  const bringBack = async (): Promise<void> => {
    for (const photo of job.photos.filter((one) => one.removed)) await changePhoto(job.id, photo.id, { removed: false });
  };
  return (
    <section class="plate form" aria-label={words.photos}>
      <h2>{words.photos}</h2>
      <p class="fine">{words.jpegPngOrWebp}</p>
      <input ref={input} type="file" class="unseen" tabIndex={-1} aria-label={words.photoFiles} accept="image/jpeg,image/png,image/webp" multiple onChange={(event) => void put([...(event.currentTarget.files ?? [])])} />
      <div class="form-end">
        <button type="button" class="button button-quiet" aria-disabled={working.value} onClick={() => !working.value && input.current?.click()}>{working.value ? words.adding : words.addPhotos}</button>
        {job.photos.some((photo) => photo.removed) && <button type="button" class="link" onClick={() => void keep(bringBack)}>{words.bringBackRemovedPhotos}</button>}
      </div>
      {removed > 0 && <p class="fine">{words.removedNotesAndPhotos}</p>}
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </section>
  );
}

export function PhotoEntry({ job, photo }: { job: JobRecord; photo: JobPhoto }) {
  const url = useSignal('');
  const caption = useSignal(photo.caption);
  const { error, keep } = useKeep();
  useEffect(() => {
    let gone = false;
    photoUrl(job.id, photo.id).then((made) => {
      if (gone) URL.revokeObjectURL(made);
      else url.value = made;
    }, (failure: unknown) => {
      error.value = failure instanceof Error ? failure.message : words.thePhotoCannotBeShown;
    });
    return () => {
      gone = true;
      if (url.value !== '') URL.revokeObjectURL(url.value);
    };
  }, [photo.id]);
  const name = photo.caption || words.noCaption;
  return (
    <figure class="story-photo">
      {url.value !== '' && <img src={url.value} alt={words.photo(name)} width={photo.width_px} height={photo.height_px} />}
      <figcaption>
        <input type="text" aria-label={words.captionOfThePhoto(name)} value={caption.value} maxLength={MAX_CAPTION} placeholder={words.whatItShows} onInput={(event) => (caption.value = event.currentTarget.value)} onChange={() => void keep(() => changePhoto(job.id, photo.id, { caption: caption.value }))} />
        <button type="button" class="link" aria-label={words.removeThePhoto(name)} onClick={() => void keep(() => changePhoto(job.id, photo.id, { removed: true }))}>{words.remove}</button>
      </figcaption>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </figure>
  );
}
