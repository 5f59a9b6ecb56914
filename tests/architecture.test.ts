import { execFileSync } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync, mkdirSync, cpSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join, relative } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '..');

function filesBelow(folder: string, ending: RegExp): { path: string; text: string }[] {
  return readdirSync(join(ROOT, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && ending.test(entry.name))
    .map((entry) => join(entry.parentPath, entry.name))
    .map((path) => ({ path: relative(ROOT, path), text: readFileSync(path, 'utf8') }));
}

const SOURCE = [...filesBelow('src', /\.ts$/), ...filesBelow('web', /\.tsx?$/)];

/** Comments speak of things (for example of Date.now) that code must not do. */
function withoutComments(text: string): string {
  return text.replaceAll(/\/\*[\s\S]*?\*\//g, '').replaceAll(/(^|\s)\/\/.*$/gm, '$1');
}

describe('the pure parts', () => {
  it('know no clock and no chance: Date.now, new Date(), Math.random and performance.now stay out of core and simulate', () => {
    const offenders = SOURCE.filter(({ path }) => /^src\/(core|simulate)\//.test(path))
      .filter(({ text }) => /\bDate\.now\b|\bnew Date\(\)|\bMath\.random\b|\bperformance\.now\b/.test(withoutComments(text)))
      .map(({ path }) => path);
    expect(offenders).toEqual([]);
  });

  it('import from outside only mathematics and the two open file formats', () => {
    const allowed = new Set(['simple-statistics', 'jstat', 'ml-levenberg-marquardt', 'apache-arrow']);
    const offenders: string[] = [];
    for (const { path, text } of SOURCE.filter((file) => /^src\/(core|simulate)\//.test(file.path))) {
      for (const name of outsideImports(text)) if (!allowed.has(name)) offenders.push(`${path} imports ${name}`);
    }
    expect(offenders).toEqual([]);
  });
});

describe('what a page says', () => {
  it('needs no sentence that the pages are built without: of the daemon, the command line and the page to print', () => {
    const words = [...readFileSync(join(ROOT, 'web/vite.config.ts'), 'utf8').match(/OTHERS_WORDS[^{]*(\{[^}]*\})/)![1]!.matchAll(/: '(\w+)'/g)].map((match) => match[1]!);
    expect(words).toContain('daemon');
    const others = new RegExp(`\\blanguage\\.(${words.join('|')})\\b|\\{[^}]*\\b(${words.join('|')})\\b[^}]*\\} = language\\b`);
    expect(others.test("const words = language.report.file;")).toBe(true);
    expect(inPages().filter(({ path, text }) => !path.startsWith('src/core/present/en/') && others.test(text)).map(({ path }) => path)).toEqual([]);
  });
});

describe('a language', () => {
  it('is named in one place: nothing else knows the folder of its sentences', () => {
    const knows = SOURCE.filter(({ path, text }) => /^(src|web)\//.test(path) && !path.startsWith('src/core/present/en/') && /\bfrom '[^']*present\/en\/|\bfrom '\.\/en\//.test(text)).map(({ path }) => path);
    expect(knows, 'import { language } from src/core/present/language.ts instead').toEqual(['src/core/present/language.ts', 'src/core/present/words.ts']);
  });
});

describe('imports', () => {
  it('run in no circle: no file needs, through others, itself', () => {
    expect(importCircles()).toEqual([]);
  });
});

describe('each outside library', () => {
  it('has one owner file', () => {
    const shared = /^(node:|preact|@preact\/signals)/;
    const owners = new Map<string, Set<string>>();
    for (const { path, text } of SOURCE) {
      for (const name of outsideImports(text)) {
        if (shared.test(name)) continue;
        owners.set(name, (owners.get(name) ?? new Set()).add(path));
      }
    }
    // a command of the command line is a file of its own, each built with commander
    owners.delete('commander');
    const many = [...owners].filter(([, paths]) => paths.size > 1).map(([name, paths]) => `${name}: ${[...paths].join(', ')}`);
    expect(many).toEqual([]);
  });

  it('is listed in package.json when the program needs it to run', () => {
    const manifest = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { dependencies: Record<string, string> };
    const used = new Set(SOURCE.filter(({ path }) => path !== 'web/vite.config.ts').flatMap(({ text }) => outsideImports(text)).filter((name) => !name.startsWith('node:')));
    expect([...used].filter((name) => !(name in manifest.dependencies))).toEqual([]);
    const parts = Object.keys(manifest.dependencies).filter((name) => !used.has(name));
    expect(parts).toEqual([]);
  });
});

describe('the compiler', () => {
  const cases: [where: string, code: string][] = [
    ['src/core', `import '../daemon/sources/source.ts';\nimport type { Source } from '../daemon/sources/source.ts';\nexport type X = Source;\n`],
    ['src/core', `import { readFileSync } from 'node:fs';\nexport const x = readFileSync;\n`],
    ['src/core', `export const x = document.title;\n`],
    ['src/core', `export const x = (): void => console.log(1);\n`],
    ['src/core', `export const x = setTimeout;\n`],
    ['src/simulate', `import type { Source } from '../daemon/sources/source.ts';\nexport type X = Source;\n`],
    ['web', `import type { Source } from '../src/daemon/sources/source.ts';\nexport type X = Source;\n`],
    ['web', `import type { Scenario } from '../src/simulate/scenario.ts';\nexport type X = Scenario;\n`],
  ];

  it('refuses every import and every global that the tree forbids', () => {
    const folder = mkdtempSync(join(tmpdir(), 'amptrail-architecture-'));
    try {
      // a small copy of the tree: the configurations as they are, and one shared file a project
      for (const project of ['src/core', 'src/simulate', 'src/daemon', 'web']) {
        mkdirSync(join(folder, project), { recursive: true });
        cpSync(join(ROOT, project, 'tsconfig.json'), join(folder, project, 'tsconfig.json'));
      }
      cpSync(join(ROOT, 'src/tsconfig.base.json'), join(folder, 'src/tsconfig.base.json'));
      symlinkSync(join(ROOT, 'node_modules'), join(folder, 'node_modules'), 'dir');
      writeFileSync(join(folder, 'package.json'), '{"type":"module"}');
      writeFileSync(join(folder, 'src/core/ok.ts'), 'export const one = 1;\n');
      mkdirSync(join(folder, 'src/daemon/sources'));
      writeFileSync(join(folder, 'src/daemon/sources/source.ts'), `import { one } from '../../core/ok.ts';\nexport type Source = typeof one;\n`);
      writeFileSync(join(folder, 'src/simulate/scenario.ts'), `import { one } from '../core/ok.ts';\nexport type Scenario = typeof one;\n`);
      writeFileSync(join(folder, 'web/page.ts'), `import { one } from '../src/core/ok.ts';\nexport const title = document.title + one;\n`);
      expect(compile(folder, 'src/daemon')).toBe('');
      expect(compile(folder, 'web')).toBe('');
      for (const [where, code] of cases) {
        const file = join(folder, where, 'forbidden.ts');
        writeFileSync(file, code);
        expect(compile(folder, where), code).toMatch(/forbidden\.ts.*error TS/);
        rmSync(file);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });
});

describe('the repository', () => {
  it('holds nothing at the top level but what the map names', () => {
    const tracked = execFileSync('git', ['ls-files'], { cwd: ROOT, encoding: 'utf8' }).split('\n').filter(Boolean);
    const allowed = /^(README\.md|DEVELOPERS\.md|LICENSE|package(-lock)?\.json|tsconfig\.json|\.[^/]+(\/.*)?|(src|web|firmware-notes|tests|sample-traces)\/.*)$/;
    expect(tracked.filter((path) => !allowed.test(path))).toEqual([]);
  });

  it('has no skipped and no exclusive test', () => {
    const offenders = filesBelow('tests', /\.tsx?$/).filter(({ text }) => new RegExp(String.raw`\b(it|test|describe)\.(skip|only|todo)\b`).test(text));
    expect(offenders.map(({ path }) => path)).toEqual([]);
  });

  it('explains every problem code in DEVELOPERS.md', () => {
    const union = readFileSync(join(ROOT, 'src/core/problems.ts'), 'utf8');
    const codes = [...union.matchAll(/^\s*\| '([a-z-]+)'/gm)].map((match) => match[1]!);
    const explained = readFileSync(join(ROOT, 'DEVELOPERS.md'), 'utf8');
    expect(codes.length).toBeGreaterThan(20);
    expect(codes.filter((code) => !explained.includes(`\`${code}\``))).toEqual([]);
  });
});

function outsideImports(text: string): string[] {
  const names: string[] = [];
  for (const match of withoutComments(text).matchAll(/^\s*(?:import|export)\s+(?:[^'"`;=]*?\sfrom\s+)?['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]/gm)) {
    const name = match[1] ?? match[2]!;
    if (name.startsWith('.')) continue;
    names.push(name.startsWith('node:') ? name : name.split('/').slice(0, name.startsWith('@') ? 2 : 1).join('/'));
  }
  return names;
}

/** The files that the pages are made of: those of web and, through imports, of src. */
function inPages(): { path: string; text: string }[] {
  const known = new Map(SOURCE.map((file) => [file.path, file]));
  const found = new Set(SOURCE.filter(({ path }) => path.startsWith('web/') && path !== 'web/vite.config.ts'));
  // a set takes in what is added while it is walked
  for (const { path, text } of found) {
    for (const needed of insideImports(path, text.replaceAll(/^\s*(?:import|export) type [^;]*;/gm, ''))) if (known.has(needed)) found.add(known.get(needed)!);
  }
  return [...found];
}

/** Groups of files of src and web that reach each other by their imports (strongly connected components; Tarjan, SIAM J. Comput. 1(2), 1972). */
function importCircles(): string[][] {
  const known = new Set(SOURCE.map(({ path }) => path));
  const needs = new Map(SOURCE.map(({ path, text }) => [path, insideImports(path, text).filter((file) => known.has(file))]));
  const order = new Map<string, number>();
  const lowest = new Map<string, number>();
  const open: string[] = [];
  const circles: string[][] = [];
  const visit = (file: string): void => {
    order.set(file, order.size);
    lowest.set(file, order.get(file)!);
    open.push(file);
    for (const next of needs.get(file)!) {
      if (!order.has(next)) visit(next);
      if (open.includes(next)) lowest.set(file, Math.min(lowest.get(file)!, lowest.get(next)!));
    }
    if (lowest.get(file) !== order.get(file)) return;
    const circle = open.splice(open.indexOf(file));
    if (circle.length > 1) circles.push(circle.sort());
  };
  for (const { path } of SOURCE) if (!order.has(path)) visit(path);
  return circles;
}

function insideImports(path: string, text: string): string[] {
  return [...withoutComments(text).matchAll(/^\s*(?:import|export)\b[^'"`;]*?\sfrom\s+'(\.[^']+)'/gm)].map((match) => join(dirname(path), match[1]!));
}

/** What the compiler says of one project, '' when it is content. */
function compile(folder: string, project: string): string {
  try {
    execFileSync(process.execPath, [join(ROOT, 'node_modules/typescript/bin/tsc'), '-b', project, '--pretty', 'false'], { cwd: folder, encoding: 'utf8', stdio: 'pipe' });
    return '';
  } catch (error) {
    return String((error as { stdout: string }).stdout);
  }
}
