/** A part of the program, the tests that are to notice a slip in it, and the share of slips that they must. */
export interface Folder {
  readonly name: string;
  /** globs below the repository's root */
  readonly source: readonly string[];
  readonly tests: readonly string[];
  readonly goal: number;
}

const inCore = (name: string, goal: number, ...tests: string[]): Folder => ({ name: `core/${name}`, source: [`src/core/${name}/**/*.ts`], tests: tests.map((path) => `tests/${path}`), goal });
const inDaemon = (name: string, goal: number): Folder => ({ name: `daemon/${name}`, source: [`src/daemon/${name}/**/*.ts`], tests: [`tests/daemon/${name}/**/*.test.ts`, 'tests/daemon/*.test.ts'], goal });

/** Readers of strangers' bytes and the door are held hardest: 95 %; what measures and concludes 85 %; the rest 75 %. */
export const FOLDERS: readonly Folder[] = [
  inCore('decode', 0.95, 'core/decode/**/*.test.ts'),
  inCore('tracefile', 0.95, 'core/tracefile/**/*.test.ts', 'core/merge.test.ts', 'core/trace.test.ts'),
  inCore('wire', 0.95, 'core/wire/**/*.test.ts'),
  { name: 'daemon/http', source: ['src/daemon/http/**/*.ts'], tests: ['tests/daemon/http/**/*.test.ts'], goal: 0.95 },
  inCore('analysis/motor', 0.85, 'core/analysis/motor/**/!(gate).test.ts'),
  inCore('analysis/night', 0.85, 'core/analysis/night/**/!(gate).test.ts'),
  inCore('analysis/compare', 0.85, 'core/analysis/compare/**/*.test.ts'),
  inCore('analysis/uncertainty', 0.85, 'core/analysis/uncertainty/**/*.test.ts'),
  inCore('analysis/readings', 0.85, 'core/analysis/readings/**/*.test.ts'),
  inCore('reason', 0.85, 'core/reason/**/*.test.ts'),
  inCore('present', 0.75, 'core/present/**/*.test.ts', 'core/units.test.ts'),
  inCore('picture', 0.75, 'core/picture/**/*.test.ts', 'core/report/**/*.test.ts'),
  { name: 'simulate', source: ['src/simulate/**/*.ts'], tests: ['tests/simulate/**/*.test.ts'], goal: 0.75 },
  inDaemon('live', 0.75),
  inDaemon('recording', 0.75),
  inDaemon('sources', 0.75),
  inDaemon('store', 0.75),
];
