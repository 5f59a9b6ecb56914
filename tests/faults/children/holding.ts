import { Store } from '../../../src/daemon/store/store.ts';

/** Opens the data folder and holds it until it is killed. */
const [folder] = process.argv.slice(2);
await Store.open(folder!, { software: 'test' });
process.stdout.write('holding\n');
setInterval(() => undefined, 1000);
