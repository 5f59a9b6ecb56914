import { useSignal } from '@preact/signals';
import { useEffect, useRef } from 'preact/hooks';
import { MAX_CAPTION } from '../../../src/core/tracefile/job-story.ts';
import type { JobPhoto, JobRecord } from '../../../src/core/tracefile/record.ts';
import { addPhoto, changePhoto, photoUrl } from '../../net/job-api.ts';
import { useKeep } from './keep.ts';

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
    <section class="plate form" aria-label="Photos">
      <h2>Photos</h2>
      <p class="fine">JPEG, PNG or WebP. They stay on this computer, in the folder of the job. A phone may store the place where a photo was taken inside it.</p>
      <input ref={input} type="file" class="unseen" tabIndex={-1} aria-label="Photo files" accept="image/jpeg,image/png,image/webp" multiple onChange={(event) => void put([...(event.currentTarget.files ?? [])])} />
      <div class="form-end">
        <button type="button" class="button button-quiet" aria-disabled={working.value} onClick={() => !working.value && input.current?.click()}>{working.value ? 'Adding' : 'Add photos'}</button>
        {job.photos.some((photo) => photo.removed) && <button type="button" class="link" onClick={() => void keep(bringBack)}>Bring back removed photos</button>}
      </div>
      {removed > 0 && <p class="fine">Removed notes and photos stay in the folder of the job.</p>}
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
      error.value = failure instanceof Error ? failure.message : 'The photo cannot be shown.';
    });
    return () => {
      gone = true;
      if (url.value !== '') URL.revokeObjectURL(url.value);
    };
  }, [photo.id]);
  const name = photo.caption || 'no caption';
  return (
    <figure class="story-photo">
      {url.value !== '' && <img src={url.value} alt={`Photo: ${name}`} width={photo.width_px} height={photo.height_px} />}
      <figcaption>
        <input type="text" aria-label={`Caption of the photo: ${name}`} value={caption.value} maxLength={MAX_CAPTION} placeholder="what it shows" onInput={(event) => (caption.value = event.currentTarget.value)} onChange={() => void keep(() => changePhoto(job.id, photo.id, { caption: caption.value }))} />
        <button type="button" class="link" aria-label={`Remove the photo: ${name}`} onClick={() => void keep(() => changePhoto(job.id, photo.id, { removed: true }))}>Remove</button>
      </figcaption>
      {error.value !== '' && <p class="error" role="alert">{error.value}</p>}
    </figure>
  );
}
