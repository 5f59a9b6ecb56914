/** Which recording this page has started. Kept for the tab, so that a reload does not make it somebody else's. */
const KEY = 'amptrail-own-recording';
let asked = false;

export function startAsked(): void {
  asked = true;
}

/** A recording has begun: it is this page's own where this page asked for one. */
export function noteRecording(traceId: string): void {
  if (!asked) return;
  asked = false;
  try {
    sessionStorage.setItem(KEY, traceId);
  } catch {
    // storage switched off in this browser: stopping then takes a second tap
  }
}

export function isOwn(traceId: string): boolean {
  try {
    return sessionStorage.getItem(KEY) === traceId;
  } catch {
    return false;
  }
}
