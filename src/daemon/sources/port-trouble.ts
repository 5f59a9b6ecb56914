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
    return { kind: 'busy', text: `Another program has ${path} open. Close it there (a serial monitor, a second amptrail); amptrail goes on trying.` };
  }
  if (/permission denied|access (is )?denied|EACCES|EPERM|not permitted/i.test(words)) {
    const fix =
      platform === 'linux'
        ? 'Add yourself to the group that may: "sudo usermod -aG dialout $USER" (on Arch Linux the group is uucp), then log out and in again.'
        : 'Ask the computer\'s administrator for the right to use serial devices.';
    return { kind: 'denied', text: `You have no permission to open ${path}. ${fix}` };
  }
  if (/no such file|ENOENT|file not found|cannot find|does not exist|no such device|ENXIO|ENODEV/i.test(words)) {
    return { kind: 'missing', text: `There is no device ${path}. Plug the logger in, or see with "amptrail ports" what its name is now; amptrail goes on looking.` };
  }
  if (/inappropriate ioctl|ENOTTY|not a typewriter|is a directory|EISDIR|invalid argument|not a serial/i.test(words)) {
    return { kind: 'not-serial', text: `${path} is no serial device. See with "amptrail ports" which devices there are.` };
  }
  if (/input\/output error|EIO/i.test(words)) {
    return { kind: 'dead', text: `${path} exists but nothing answers behind it. Unplug the logger, plug it in again, and try another cable.` };
  }
  return { kind: 'other', text: `${path} cannot be opened: ${words.slice(0, 200)}` };
}
