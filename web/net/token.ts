/**
 * The key to the daemon. It arrives in the fragment of the address that `amptrail serve` prints (a fragment is never sent to a server nor
 * logged), is kept for this browser tab, and is taken out of the address bar at once.
 */
const KEPT_AS = 'amptrail-token';

/** Takes the token out of the address if there is one; leaves the rest of the fragment as the page to open. */
export function takeToken(): string | null {
  const match = /^#([\w-]{20,})$/.exec(location.hash);
  if (match !== null) {
    sessionStorage.setItem(KEPT_AS, match[1]!);
    history.replaceState(null, '', `${location.pathname}#/`);
  }
  return sessionStorage.getItem(KEPT_AS);
}

export function keptToken(): string {
  return sessionStorage.getItem(KEPT_AS) ?? '';
}

/** Takes a token, or a whole address with one, as a person typed or pasted it. */
export function keepTypedToken(text: string): boolean {
  const token = /#([\w-]+)$/.exec(text.trim())?.[1] ?? text.trim();
  if (!/^[\w-]{20,200}$/.test(token)) return false;
  sessionStorage.setItem(KEPT_AS, token);
  return true;
}
