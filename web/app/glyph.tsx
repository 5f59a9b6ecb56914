/** Small shapes that say the same as the word beside them. Drawn here: no font, no file. */
const SHAPES: Readonly<Record<string, string>> = {
  // ribbon
  inrush: 'M2 14 L6 2 L9 14 Z',
  run: 'M1 6 H15 V10 H1 Z',
  stall: 'M3 3 H13 V13 H3 Z',
  dropout: 'M1 6 H5 V10 H1 Z M11 6 H15 V10 H11 Z',
  flag: 'M3 1 H5 V15 H3 Z M5 2 L14 5.5 L5 9 Z',
  awake: 'M8 2 A6 6 0 1 0 8.01 2 Z',
  asleep: 'M10.5 1.5 A7 7 0 1 0 14.5 11 A6 6 0 0 1 10.5 1.5 Z',
  'wake-up': 'M8 2 L14 14 H2 Z',
  pulled: 'M4 1 H12 V9 H4 Z M5 10 H7 V15 H5 Z M9 10 H11 V15 H9 Z',
  gap: 'M2 2 H4 V14 H2 Z M12 2 H14 V14 H12 Z',
  note: 'M8 1 A5 5 0 0 1 12 9 L8 15 L4 9 A5 5 0 0 1 8 1 Z',
  recorded: 'M8 3 A5 5 0 1 0 8.01 3 Z',
  // findings
  good: 'M8 1 A7 7 0 1 0 8.01 1 Z M6.8 11.6 L3.6 8.4 L4.9 7.1 L6.8 9 L11.1 4.7 L12.4 6 Z',
  fault: 'M8 1 L15.5 14.5 H.5 Z M7.1 6 V10.5 H8.9 V6 Z M7.1 11.6 V13.2 H8.9 V11.6 Z',
  open: 'M8 1 A7 7 0 1 0 8.01 1 Z M8 3 A5 5 0 1 1 7.99 3 Z',
  // controls
  record: 'M8 2 A6 6 0 1 0 8.01 2 Z',
  stop: 'M3 3 H13 V13 H3 Z',
  pause: 'M3 2 H6.5 V14 H3 Z M9.5 2 H13 V14 H9.5 Z',
  live: 'M3 2 L14 8 L3 14 Z',
  closer: 'M7 3 H9 V7 H13 V9 H9 V13 H7 V9 H3 V7 H7 Z',
  wider: 'M3 7 H13 V9 H3 Z',
  measure: 'M1 2 H3 V14 H1 Z M13 2 H15 V14 H13 Z M4 7 H12 V9 H4 Z',
  wide: 'M1 1 H6 V3 H3 V6 H1 Z M10 1 H15 V6 H13 V3 H10 Z M1 10 H3 V13 H6 V15 H1 Z M13 10 H15 V15 H10 V13 H13 Z',
  sound: 'M2 6 H5 L9 2 V14 L5 10 H2 Z M11 5 A4 4 0 0 1 11 11 Z',
  sun: 'M8 4.5 A3.5 3.5 0 1 0 8.01 4.5 Z M7.2 0 H8.8 V3 H7.2 Z M7.2 13 H8.8 V16 H7.2 Z M0 7.2 H3 V8.8 H0 Z M13 7.2 H16 V8.8 H13 Z',
};

export function Glyph({ shape, size = 16 }: { shape: string; size?: number }) {
  return (
    <svg class="glyph" width={size} height={size} viewBox="0 0 16 16" aria-hidden="true" focusable="false">
      <path d={SHAPES[shape] ?? SHAPES['open']!} fill="currentColor" fill-rule="evenodd" />
    </svg>
  );
}
