import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { startDaemon } from '../../../src/daemon/serve.ts';

/** The daemon that is attacked, in a process of its own: loopback only, pages of one line. Ends when its parent lets go of it. */
const [folder, source] = process.argv.slice(2);
const webDir = join(folder!, 'web');
mkdirSync(webDir, { recursive: true });
writeFileSync(join(webDir, 'index.html'), `<!doctype html><title>amptrail</title>${'x'.repeat(20_000)}`);
const daemon = await startDaemon({ source: source!, port: 0, dataDir: join(folder!, 'data'), webDir, log: (text) => process.stderr.write(`${text}\n`) });
process.send!({ port: daemon.port, token: daemon.token, viewToken: daemon.viewToken });
process.once('disconnect', () => void daemon.close().then(() => process.exit(0)));
