/** A part of the program, the tests that are to notice a slip in it, and the share of slips that they must. */
export interface Folder {
  readonly name: string;
  /** globs below the repository's root */
  readonly source: readonly string[];
  readonly tests: readonly string[];
  readonly goal: number;
}

const inCore = (name: string, goal: number, ...tests: string[]): Folder => ({ name: `core/${name}`, source: [`src/core/${name}/**/*.ts`], tests: tests.map((path) => `tests/${path}`), goal });
const inDaemon = (name: string, goal: number, ...tests: string[]): Folder => ({ name: `daemon/${name}`, source: [`src/daemon/${name}/**/*.ts`], tests: [`tests/daemon/${name}/**/*.test.ts`, ...tests.map((path) => `tests/${path}`)], goal });

/** Readers of strangers' bytes and the door are held hardest: 95 %; what measures and concludes 85 %; the rest 75 %. Tests of many whole recordings are left out: too slow to be run again for every slip. */
export const FOLDERS: readonly Folder[] = [
  inCore('decode', 0.95, 'core/decode/**/*.test.ts'),
  inCore('tracefile', 0.95, 'core/tracefile/**/*.test.ts', 'core/merge.test.ts', 'core/trace.test.ts', 'daemon/live/window.test.ts', 'daemon/store/window.test.ts'),
  inCore('wire', 0.95, 'core/wire/**/*.test.ts'),
  { name: 'daemon/http/door', source: ['src/daemon/http/door/**/*.ts'], tests: ['tests/daemon/http/{door,door-alone,door-bounds,devices,hand-over,network,security,server,strangers}.test.ts'], goal: 0.95 },
  { name: 'daemon/http', source: ['src/daemon/http/*.ts', 'src/daemon/http/routes/**/*.ts'], tests: ['tests/daemon/http/**/*.test.ts'], goal: 0.95 },
  { name: 'core/analysis', source: ['src/core/analysis/*.ts'], tests: ['tests/core/analysis/*.test.ts'], goal: 0.85 },
  inCore('analysis/motor', 0.85, 'core/analysis/motor/**/!(gate).test.ts'),
  inCore('analysis/night', 0.85, 'core/analysis/night/**/!(gate|score).test.ts'),
  inCore('analysis/compare', 0.85, 'core/analysis/compare/**/!(known-pairs).test.ts', 'core/stats.test.ts'),
  inCore('analysis/uncertainty', 0.85, 'core/analysis/uncertainty/**/*.test.ts', 'core/distributions.test.ts'),
  inCore('analysis/readings', 0.85, 'core/analysis/readings/**/*.test.ts'),
  inCore('reason', 0.85, 'core/reason/**/*.test.ts'),
  inCore('present', 0.75, 'core/present/**/*.test.ts', 'core/report/**/*.test.ts', 'core/units.test.ts'),
  inCore('picture', 0.75, 'core/picture/**/*.test.ts', 'core/report/**/*.test.ts'),
  { name: 'simulate', source: ['src/simulate/**/*.ts'], tests: ['tests/simulate/**/*.test.ts'], goal: 0.75 },
  inDaemon('live', 0.75),
  inDaemon('prove', 0.75),
  inDaemon('recording', 0.75),
  inDaemon('sources', 0.75),
  inDaemon('store', 0.75),
  inDaemon('threads', 0.75),
];

/** The folder of this name, or what lies below it, a folder or a file, with the tests of the whole; null where there is none. */
export function folderNamed(name: string): Folder | null {
  const known = FOLDERS.find((folder) => folder.name === name);
  if (known !== undefined) return known;
  const around = FOLDERS.filter((folder) => name.startsWith(`${folder.name}/`)).sort((a, b) => b.name.length - a.name.length)[0];
  if (around === undefined) return null;
  return { ...around, name, source: [name.endsWith('.ts') ? `src/${name}` : `src/${name}/**/*.ts`] };
}

/** Whether any of these files is a test of the folder or lies beside one, where what tests share does; a file that is deleted counts too. */
export function hasTestsIn(folder: Folder, files: ReadonlySet<string>): boolean {
  const places = folder.tests.map((glob) => glob.split(/[*{]/)[0]!);
  return [...files].some((file) => places.some((place) => file.startsWith(place)));
}
