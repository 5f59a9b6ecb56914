import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';

const ROOT = join(import.meta.dirname, '..');

/** What `npm install -g` of the tarball would lay down: the packed files, and beside them the packages they name. */
describe('the packed product', () => {
  let folder: string;
  let packed: { path: string; mode: number }[];
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'amptrail-pack-'));
    // the build is there already: npm test builds first
    const reported = execFileSync('npm', ['pack', '--json', '--ignore-scripts', '--pack-destination', folder], { cwd: ROOT, encoding: 'utf8', shell: process.platform === 'win32' });
    const [tarball] = JSON.parse(reported) as [{ filename: string; files: { path: string; mode: number }[] }];
    packed = tarball.files;
    execFileSync('tar', ['-xzf', tarball.filename], { cwd: folder });
    symlinkSync(join(ROOT, 'node_modules'), join(folder, 'package', 'node_modules'), 'dir');
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  const run = (...words: string[]): string => execFileSync(process.execPath, [join(folder, 'package', 'dist/cli/main.js'), ...words], { cwd: folder, encoding: 'utf8' });

  it('carries program, pages, samples and the logger, and no tests, sources or notes of builds', () => {
    const paths = packed.map(({ path }) => path);
    for (const needed of ['dist/cli/main.js', 'dist/threads/live-worker.js', 'dist/web/index.html', 'README.md', 'LICENSE', 'package.json', 'sample-traces/side-step-jam.csv']) expect(paths).toContain(needed);
    expect(paths.filter((path) => /^(src|web|tests)\/|^dist\/.*\.(ts|map|tsbuildinfo)$/.test(path))).toEqual([]);
  });

  it('answers with its version and analyses a trace', () => {
    expect(run('--version').trim()).toBe((JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')) as { version: string }).version);
    const result = JSON.parse(run('analyse', 'package/sample-traces/side-step-jam.csv', '--test', 'actuation', '--json')) as { verdict: { finding: string } };
    expect(result.verdict.finding).toBe('stalled');
  });

  it('starts the daemon, which serves the page', async () => {
    const child = spawn(process.execPath, [join(folder, 'package', 'dist/cli/main.js'), 'serve', '--port', '0', '--source', 'sim:side-step-jam', '--data', join(folder, 'data')], { stdio: ['ignore', 'pipe', 'pipe'] });
    try {
      const address = await new Promise<string>((resolve, reject) => {
        let text = '';
        const read = (chunk: Buffer): void => {
          text += String(chunk);
          const match = /http:\/\/[\w.:[\]]+/.exec(text);
          if (match !== null) resolve(match[0]);
        };
        child.stdout.on('data', read);
        child.stderr.on('data', read);
        child.once('exit', (code) => reject(new Error(`ended with ${code}: ${text}`)));
      });
      const page = await fetch(`${address}/`);
      expect(page.status).toBe(200);
      expect(await page.text()).toContain('<script type="module"');
    } finally {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      await ended;
    }
  });
});
