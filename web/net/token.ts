/**
 * The key to the daemon. It arrives in the fragment of the address that `amptrail serve` prints or a tablet was let in with (a fragment is
 * never sent to a server nor logged) and is taken out of the address bar at once. A key of this run is kept for the browser tab alone; the
 * key of a tablet stays good, so it is kept for the address of the daemon.
 */
const KEPT_AS = 'amptrail-token';
const DEVICE_KEPT_AS = 'amptrail-tablet';

/** Takes the token out of the address if there is one; leaves the rest of the fragment as the page to open. */
export function takeToken(): string | null {
  const match = /^#([\w-]{20,})$/.exec(location.hash);
  if (match !== null) {
    sessionStorage.setItem(KEPT_AS, match[1]!);
    history.replaceState(null, '', `${location.pathname}#/`);
  }
  return keptToken() || null;
}

export function keptToken(): string {
  return sessionStorage.getItem(KEPT_AS) ?? deviceKey() ?? '';
}

/** The key in use is that of a tablet: it is found again when the tab is opened anew. */
export function keepForDevice(): void {
  try {
    localStorage.setItem(DEVICE_KEPT_AS, keptToken());
  } catch {
    // storage switched off in this browser: the address has to be opened again
  }
}

/** A key that was refused gives way to that of the tablet, if there is another one. */
export function fallBackToDevice(): boolean {
  const other = deviceKey();
  if (other === null || sessionStorage.getItem(KEPT_AS) === null || sessionStorage.getItem(KEPT_AS) === other) return false;
  sessionStorage.removeItem(KEPT_AS);
  return true;
}

/** Takes a token, or a whole address with one, as a person typed or pasted it. */
export function keepTypedToken(text: string): boolean {
  const token = /#([\w-]+)$/.exec(text.trim())?.[1] ?? text.trim();
  if (!/^[\w-]{20,200}$/.test(token)) return false;
  sessionStorage.setItem(KEPT_AS, token);
  return true;
}

function deviceKey(): string | null {
  try {
    return localStorage.getItem(DEVICE_KEPT_AS);
  } catch {
    return null;
  }
}
