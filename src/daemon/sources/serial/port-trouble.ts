import { language } from '../../../core/present/language.ts';

const texts = language.daemon.sources.portTrouble;

/** Why a port cannot be opened. node-serialport's errors carry no code, only the operating system's words, so those are matched. */
export interface PortTrouble {
  readonly kind: 'missing' | 'denied' | 'busy' | 'not-serial' | 'dead' | 'other';
  /** what is so and what to do, for people */
  readonly text: string;
}

/** Puts the operating system's words about a port into ours, with the fix. */
export function explainPortError(path: string, error: unknown, platform: NodeJS.Platform = process.platform): PortTrouble {
  const words = error instanceof Error ? error.message : String(error);
  if (/cannot lock port|temporarily unavailable|resource busy|EBUSY|in use/i.test(words) || (platform === 'win32' && /access (is )?denied/i.test(words))) {
    return { kind: 'busy', text: texts.anotherProgramHasOpen(path) };
  }
  if (/permission denied|access (is )?denied|EACCES|EPERM|not permitted/i.test(words)) {
    const fix =
      platform === 'linux'
        ? texts.addYourselfToThe
        : texts.askTheComputersAdministrator;
    return { kind: 'denied', text: texts.youHaveNoPermission(path, fix) };
  }
  if (/no such file|ENOENT|file not found|cannot find|does not exist|no such device|ENXIO|ENODEV/i.test(words)) {
    return { kind: 'missing', text: texts.thereIsNoDevice(path) };
  }
  if (/inappropriate ioctl|ENOTTY|not a typewriter|is a directory|EISDIR|invalid argument|not a serial/i.test(words)) {
    return { kind: 'not-serial', text: texts.isNoSerialDevice(path) };
  }
  if (/input\/output error|EIO/i.test(words)) {
    return { kind: 'dead', text: texts.existsButNothingAnswers(path) };
  }
  return { kind: 'other', text: texts.cannotBeOpened(path, words.slice(0, 200)) };
}
