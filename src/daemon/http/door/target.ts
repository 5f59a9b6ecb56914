/** The target of a request in its one normal form. */
interface Target {
  readonly path: string;
  /** without the question mark; '' when there is none */
  readonly query: string;
}

/** Longer than any address of the pages: eight traces with the longest names in a report. */
const MAX_TARGET_LENGTH = 4096;
/** Letters, digits, `-`, `_`, `~`, and single dots inside a name: neither an escape nor a parameter nor a step to another folder can be written with these. */
const PATH = /^\/(?:[\w~-]+(?:\.[\w~-]+)*(?:\/[\w~-]+(?:\.[\w~-]+)*)*)?$/;
/** Query characters of RFC 3986 section 3.4. */
const QUERY = /^[\w~.!$&'()*+,;=:@/?%-]*$/;

/**
 * Reads the target of a request line. One resource has exactly one spelling: a target that is not already in normal form is refused
 * (null), so that no two parts of the daemon can read the same text differently. Refused are the absolute, authority and asterisk
 * forms (RFC 9112 section 3.2), empty and dot segments, a slash or dot at the end, escapes in the path, backslash and `;`.
 */
export function parseTarget(text: string | undefined): Target | null {
  if (text === undefined || text.length > MAX_TARGET_LENGTH) return null;
  const at = text.indexOf('?');
  const path = at < 0 ? text : text.slice(0, at);
  const query = at < 0 ? '' : text.slice(at + 1);
  return PATH.test(path) && QUERY.test(query) ? { path, query } : null;
}
