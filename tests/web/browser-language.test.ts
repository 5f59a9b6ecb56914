import { readFileSync } from 'node:fs';
import { describe, expect, it, vi } from 'vitest';
import { usableTag } from '../../web/app/browser-language.ts';

describe('the language of the browser', () => {
  // BCP 47 tags are as RFC 5646 has them; the others are what POSIX locales (IEEE 1003.1, section 8.2) leave in a browser started from a terminal
  it.each([['en-US', 'en-US'], ['de', 'de'], ['en-US@posix', 'en-US'], ['en_GB.UTF-8', 'en-GB'], ['C', 'en'], ['', 'en'], [undefined, 'en'], ['sr_RS@latin', 'sr-RS']])('%s becomes %s, which Intl takes', (given, wanted) => {
    expect(usableTag(given)).toBe(wanted);
    expect(() => new Intl.NumberFormat(usableTag(given))).not.toThrow();
  });

  it('is put right before the chart library is loaded, which throws on it', async () => {
    const [first] = readFileSync('web/main.tsx', 'utf8').split('\n');
    expect(first).toBe("import './app/browser-language.ts';");
    vi.stubGlobal('navigator', { language: 'en-US@posix' });
    vi.resetModules();
    await import('../../web/app/browser-language.ts');
    expect(navigator.language).toBe('en-US');
    vi.unstubAllGlobals();
  });
});
