import type { Workshop } from '../../src/core/report/input.ts';
import type { JobRecord } from '../../src/core/tracefile/record.ts';
import type { JobStateChange, JobView } from '../../src/core/wire/api.ts';
import { request } from './api.ts';

const jobPath = (jobId: string, ...rest: readonly string[]): string => `/api/${['jobs', jobId, ...rest].map(encodeURIComponent).join('/')}`;

async function answer<T>(response: Promise<Response>): Promise<T> {
  return (await (await response).json()) as T;
}

export const setJobState = (jobId: string, change: JobStateChange): Promise<JobRecord> => answer(request('PUT', jobPath(jobId, 'state'), change));
export const addNote = (jobId: string, text: string): Promise<JobRecord> => answer(request('POST', jobPath(jobId, 'notes'), { text }));
export const changeNote = (jobId: string, at: string, removed: boolean): Promise<JobRecord> => answer(request('PUT', jobPath(jobId, 'notes'), { at, removed }));
export const addPhoto = (jobId: string, file: File): Promise<JobRecord> => answer(request('POST', `${jobPath(jobId, 'photos')}?name=${encodeURIComponent(file.name)}`, file));
export const changePhoto = (jobId: string, photoId: string, change: { caption?: string; removed?: boolean }): Promise<JobRecord> => answer(request('PUT', jobPath(jobId, 'photos', photoId), change));

export const removeJob = (jobId: string): Promise<{ removed: string }> => answer(request('POST', jobPath(jobId, 'remove'), {}));
export const listRemoved = (): Promise<JobView[]> => answer(request('GET', '/api/removed-jobs'));
export const restoreJob = (removedId: string): Promise<JobRecord> => answer(request('POST', `/api/removed-jobs/${encodeURIComponent(removedId)}/restore`, {}));
export const importJob = (file: File): Promise<{ job: JobRecord; traces: number }> => answer(request('POST', `/api/jobs-import?name=${encodeURIComponent(file.name)}`, file));

/** The picture as an address of this page alone; the browser asks the API for nothing by itself, since it would send no key. */
export async function photoUrl(jobId: string, photoId: string): Promise<string> {
  const response = await request('GET', jobPath(jobId, 'photos', photoId));
  return URL.createObjectURL(await response.blob());
}

export const getWorkshop = (): Promise<Workshop> => answer(request('GET', '/api/workshop'));
export const keepHeading = (heading: string): Promise<Workshop> => answer(request('PUT', '/api/workshop', { heading }));
export const keepLogo = (file: File): Promise<Workshop> => answer(request('POST', '/api/workshop/logo', file));
export const removeLogo = (): Promise<Workshop> => answer(request('POST', '/api/workshop/logo/remove', {}));
