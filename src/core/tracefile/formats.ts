/**
 * Every form a trace can be written in, once. `by`: who makes it: a file of samples (store/exchange/export-trace.ts), a picture (store/exchange/picture.ts), or the
 * folder as it is (store/exchange/zip.ts). A new one is an entry here and a writer that the compiler then asks for.
 */
const FORMATS = {
  csv: { by: 'samples', reads: true },
  arrows: { by: 'samples', reads: true },
  parquet: { by: 'samples', reads: false },
  svg: { by: 'picture', reads: false },
  png: { by: 'picture', reads: false },
  zip: { by: 'folder', reads: true },
} as const satisfies Readonly<Record<string, { readonly by: 'samples' | 'picture' | 'folder'; readonly reads: boolean }>>;

export type Format = keyof typeof FORMATS;
type FormatBy<By extends string> = { [F in Format]: (typeof FORMATS)[F]['by'] extends By ? F : never }[Format];
export type SampleFormat = FormatBy<'samples'>;
export type PictureFormat = FormatBy<'picture'>;

export const ALL_FORMATS = Object.keys(FORMATS) as Format[];
export const SAMPLE_FORMATS = ALL_FORMATS.filter((format): format is SampleFormat => FORMATS[format].by === 'samples');
export const PICTURE_FORMATS = ALL_FORMATS.filter((format): format is PictureFormat => FORMATS[format].by === 'picture');
/** what the page offers as a file of a stored trace */
export const FILE_FORMATS = ALL_FORMATS.filter((format): format is Exclude<Format, PictureFormat> => FORMATS[format].by !== 'picture');

/** The format that a file's ending names (with its dot, any case); null for an unknown one. */
export function formatOf(ending: string): Format | null {
  const name = ending.toLowerCase().replace(/^\./, '');
  return ALL_FORMATS.find((format) => format === name) ?? null;
}
