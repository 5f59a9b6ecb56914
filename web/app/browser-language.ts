/**
 * Some systems hand the browser a language that is no tag of BCP 47: `en-US@posix` from LANG=en_US.UTF-8@posix, `C`. Intl throws on it, and the chart library asks Intl the moment it is loaded,
 * so the page stayed blank. Imported before everything else, this puts a tag in its place that Intl takes.
 */
export function usableTag(language: unknown): string {
  const text = typeof language === 'string' ? language : '';
  for (const tag of [text, text.split(/[@.]/)[0]!.replaceAll('_', '-')]) {
    try {
      const [found] = Intl.getCanonicalLocales(tag);
      if (found !== undefined) return found;
    } catch {
      // not this one
    }
  }
  return 'en';
}

if (typeof navigator !== 'undefined') {
  const tag = usableTag(navigator.language);
  if (tag !== navigator.language) Object.defineProperty(navigator, 'language', { value: tag, configurable: true });
}
