import { language } from './language.ts';

/** `25 November 2026` where the clock of the zone stood at that moment; the text itself where it is no date. */
export function localDay(rfc3339: string, timeZone: string): string {
  return shown(rfc3339, timeZone, { dateStyle: 'long' });
}

/** `25 November 2026, 08:05`, in the zone. */
export function localMoment(rfc3339: string, timeZone: string): string {
  return shown(rfc3339, timeZone, { dateStyle: 'long' }, { hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });
}

function shown(rfc3339: string, timeZone: string, ...formats: readonly Intl.DateTimeFormatOptions[]): string {
  const at = new Date(rfc3339);
  if (Number.isNaN(at.getTime())) return rfc3339;
  const by = (zone: string): string => formats.map((format) => new Intl.DateTimeFormat(language.locale, { ...format, timeZone: zone }).format(at)).join(', ');
  try {
    return by(timeZone);
  } catch {
    // a zone that this system does not know
    return `${by('UTC')} UTC`;
  }
}
