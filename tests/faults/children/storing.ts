import { Store } from '../../../src/daemon/store/store.ts';

/** Records into a data folder in real time; says where, how far it is, and how it ended. */
const [folder] = process.argv.slice(2);
const say = (what: unknown): void => void process.stdout.write(`${JSON.stringify(what)}\n`);
const store = await Store.open(folder!, { software: 'test' });
const { ref, writer } = await store.startTrace(null, {}, { onEnd: ({ cause, text }) => say({ ended: cause, text }) });
say({ ref });
let sample = 0;
setInterval(() => {
  writer.append({ timeS: Float64Array.from({ length: 10 }, (_, i) => (sample + i) / 1000), currentA: new Float32Array(10).fill(1), voltageV: null });
  sample += 10;
}, 10);
setInterval(() => void writer.flush().then(() => say({ bytes: writer.bytes })), 50);
