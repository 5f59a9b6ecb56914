// The far end of a pseudo-terminal, in a process of its own: a write to a full one blocks the thread that should empty it.
import { spawn } from '@lydell/node-pty';

const pty = spawn('/bin/sh', ['-c', 'stty raw -echo; tty; exec sleep 600'], { name: 'dumb', cols: 200, rows: 40 });
let heard = '';
let path = '';
pty.onData((text) => {
  if (path !== '') {
    process.send({ heard: text });
    return;
  }
  heard += text;
  const match = /\/dev\/\S+/.exec(heard);
  if (match === null || !/\n/.test(heard)) return;
  path = match[0];
  process.send({ path });
});
pty.onExit(() => process.exit(0));
process.on('message', (message) => {
  if (message.hangUp) pty.kill('SIGKILL');
  else pty.write(Buffer.from(message.write, 'latin1'));
});
process.on('disconnect', () => pty.kill('SIGKILL'));
