import { request } from './api.ts';

/**
 * Saves a file of the API under `name`. The browser fetches it by itself, straight to disk whatever its length; since it then sends no
 * token, the daemon gives a ticket for this one file first. Throws ApiFailure.
 */
export async function downloadFile(path: string, name: string): Promise<void> {
  const response = await request('POST', '/api/tickets', { path });
  const answer = (await response.json()) as { url: string };
  saveLink(answer.url, name);
}

/** Saves what the page made itself (a picture). */
export function saveBlob(blob: Blob, name: string): void {
  const url = URL.createObjectURL(blob);
  saveLink(url, name);
  setTimeout(() => URL.revokeObjectURL(url), 10_000);
}

function saveLink(href: string, name: string): void {
  const link = document.createElement('a');
  link.href = href;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
}
