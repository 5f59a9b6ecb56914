import { effect, signal } from '@preact/signals';

/** What this browser remembers between visits: nothing about vehicles or people. */
type Theme = 'auto' | 'light' | 'dark';

export const theme = signal<Theme>(kept('theme', ['auto', 'light', 'dark'], 'auto'));
export const soundOn = signal(kept('sound', ['on', 'off'], 'off') === 'on');
/** labels offered for marks and pulls, in the order of the fuse box */
export const fuseLabels = signal<readonly string[]>(kept('fuses', null, '').split(',').map((label) => label.trim()).filter(Boolean));

const darkSystem = matchMedia('(prefers-color-scheme: dark)');
const systemDark = signal(darkSystem.matches);
darkSystem.addEventListener('change', (event) => (systemDark.value = event.matches));

/** The theme in force; canvas colours depend on it. */
export function isDark(): boolean {
  return theme.value === 'dark' || (theme.value === 'auto' && systemDark.value);
}

export function startPreferences(): void {
  effect(() => {
    keep('theme', theme.value);
    document.documentElement.dataset['theme'] = isDark() ? 'dark' : 'light';
  });
  effect(() => keep('sound', soundOn.value ? 'on' : 'off'));
  effect(() => keep('fuses', fuseLabels.value.join(',')));
}

function kept<Choice extends string>(name: string, choices: readonly Choice[] | null, otherwise: Choice): Choice {
  try {
    const value = localStorage.getItem(`amptrail-${name}`) as Choice | null;
    return value !== null && (choices === null || choices.includes(value)) ? value : otherwise;
  } catch {
    return otherwise; // storage switched off in this browser
  }
}

function keep(name: string, value: string): void {
  try {
    localStorage.setItem(`amptrail-${name}`, value);
  } catch {
    // storage switched off in this browser: the choice holds until the page is closed
  }
}
