/**
 * For the keepers of @serialport/bindings-cpp (seen with 13.0.0 on Linux, Node 20): after a hang-up the binding can read without end.
 *
 *   node tests/faults/serial-empty-reads.mjs [hang-ups, default 100]
 *
 * A pseudo-terminal is opened, data flows, and its far end goes away. read(2) of a terminal that has been hung up answers 0, "end of file". unixRead() (dist/unix-read.js) then calls itself at
 * once: no event, no error, no 'close', and close to a whole core is used until somebody closes the port. Whether it happens depends on what comes first, the poller's word of the hang-up or the
 * read. Expected: bytesRead 0 is handed on (SerialPortStream ends the stream on it), or the port is closed as disconnected.
 *
 * Prints a line for each hang-up that ends so, and how many there were.
 */
import { fork } from 'node:child_process';
import { once } from 'node:events';
import { setTimeout as wait } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { SerialPort } from 'serialport';

const rounds = Number(process.argv[2] ?? 100);
let loops = 0;
for (let round = 0; round < rounds; round++) {
  const farEnd = fork(fileURLToPath(new URL('../daemon/sources/pty-end.mjs', import.meta.url)), { execArgv: [] });
  farEnd.on('error', () => undefined);
  const [{ path }] = await once(farEnd, 'message');
  const port = new SerialPort({ path, baudRate: 115_200 });
  let told = false;
  port.on('error', () => undefined);
  port.on('close', () => (told = true));
  port.on('end', () => (told = true));
  port.on('data', () => undefined);
  await once(port, 'open');
  const flow = setInterval(() => farEnd.connected && farEnd.send({ write: '1.25,12.6\n'.repeat(20) }, () => undefined), 1);
  await wait(20 + (round % 10));
  farEnd.kill('SIGKILL');
  await once(farEnd, 'exit');
  clearInterval(flow);
  await wait(100);
  if (!told) {
    const before = process.cpuUsage();
    await wait(500);
    const { user, system } = process.cpuUsage(before);
    if (!told) console.log(`hang-up ${round + 1}: ${++loops}. port that was told nothing, ${((user + system) / 5000).toFixed(0)} % of a core in use`);
  }
  if (port.isOpen) await new Promise((resolve) => port.close(resolve));
}
console.log(`${loops} of ${rounds} hang-ups`);
process.exit(0);
