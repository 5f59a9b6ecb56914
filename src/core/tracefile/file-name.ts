import type { TraceRecord } from './record.ts';

/** A name for a file made of a trace, that every file system takes and a person recognises: `2026-11-25-Step-left`. Without ending. */
export function fileNameOf({ id, title, start }: Pick<TraceRecord, 'id' | 'title' | 'start'>): string {
  const words = title.normalize('NFKD').replaceAll(/[^\w -]+/g, '').trim().replaceAll(/\s+/g, '-').slice(0, 60);
  return words === '' ? id : [start.slice(0, 10), words].filter(Boolean).join('-');
}
