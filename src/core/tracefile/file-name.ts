import type { TraceRecord } from './record.ts';

/** A name for a file made of a trace, that every file system takes and a person recognises: `2026-11-25-Step-left`. Without ending. */
export function fileNameOf({ id, title, start }: Pick<TraceRecord, 'id' | 'title' | 'start'>): string {
  const words = title.normalize('NFKD').replaceAll(/[\u0300-\u036f]+/g, '').replaceAll(/\W+/g, '-').slice(0, 60).replaceAll(/^-+|-+$/g, '');
  return words === '' ? id : [start.slice(0, 10), words].filter(Boolean).join('-');
}
