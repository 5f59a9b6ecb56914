import { describe, expect, it } from 'vitest';
import { isPhotoName, MAX_CAPTION, MAX_NOTE_TEXT, MOST_NOTES, MOST_PHOTOS, NO_STORY, readStory } from '../../../src/core/tracefile/job-story.ts';

const AT = '2026-11-25T08:00:00Z';
const note = { at: AT, text: 'seat rail bent', removed: true };
const photo = { id: 'photo-1.jpg', at: AT, caption: 'rail', width_px: 640, height_px: 480, removed: false };

describe('notes and photos of a job from a file', () => {
  it('are read as they were written', () => {
    expect(readStory({ notes: [note], photos: [photo, { ...photo, removed: true }], closed: AT, archived: '2026-11-26T08:00:00.123Z' })).toEqual({ notes: [note], photos: [photo, { ...photo, removed: true }], closed: AT, archived: '2026-11-26T08:00:00.123Z' });
    expect(readStory({})).toEqual(NO_STORY);
    expect(readStory({ notes: 'x', photos: {}, closed: 5, archived: 'soon' })).toEqual(NO_STORY);
  });

  it('leave out what cannot be used, entry by entry', () => {
    const notes = (...more: unknown[]): number => readStory({ notes: [note, ...more] }).notes.length - 1;
    for (const wrong of [null, 'x', { ...note, text: '' }, { ...note, text: ['a'] }, { ...note, at: 5 }, { ...note, at: [AT] }, { ...note, at: `${AT} ` }, { ...note, at: `x${AT}` }, { ...note, at: '2026-11-25' }]) expect(notes(wrong), JSON.stringify(wrong)).toBe(0);
    const photos = (...more: unknown[]): number => readStory({ photos: [photo, ...more] }).photos.length - 1;
    // a list of one name reads like the name itself where it is made text
    for (const wrong of [{ ...photo, id: ['photo-1.jpg'] }, { ...photo, id: '../photo-1.jpg' }, { ...photo, at: null }, { ...photo, width_px: 0 }, { ...photo, width_px: 1.5 }, { ...photo, width_px: '640' }, { ...photo, height_px: -1 }, { ...photo, height_px: null }]) expect(photos(wrong), JSON.stringify(wrong)).toBe(0);
    expect(photos({ ...photo, width_px: 1, height_px: 1 })).toBe(1);
    expect(readStory({ notes: [{ ...note, removed: 'yes' }], photos: [{ ...photo, caption: 7, removed: 1 }] })).toMatchObject({ notes: [{ removed: false }], photos: [{ caption: '', removed: false }] });
  });

  it('are cut to what a page can show', () => {
    const long = readStory({ notes: Array.from({ length: MOST_NOTES + 1 }, () => ({ ...note, text: 'x'.repeat(MAX_NOTE_TEXT + 1) })), photos: Array.from({ length: MOST_PHOTOS + 1 }, () => ({ ...photo, caption: 'x'.repeat(MAX_CAPTION + 1) })) });
    expect([long.notes.length, long.photos.length, long.notes[0]!.text.length, long.photos[0]!.caption.length]).toEqual([MOST_NOTES, MOST_PHOTOS, MAX_NOTE_TEXT, MAX_CAPTION]);
  });

  it('have names that lead nowhere else', () => {
    expect(['photo-a.jpg', 'photo-A_9-z.png', 'photo-1.webp', `photo-${'x'.repeat(110)}.jpg`].map(isPhotoName)).toEqual([true, true, true, true]);
    expect(['photo-.jpg', `photo-${'x'.repeat(111)}.jpg`, 'photo-a.svg', 'photo-a.jpg.exe', 'xphoto-a.jpg', 'photo-a/b.jpg', 'photo-a.JPG'].map(isPhotoName)).toEqual(new Array(7).fill(false));
  });
});
