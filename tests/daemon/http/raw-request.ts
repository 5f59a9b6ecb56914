import { connect } from 'node:net';

/** Sends bytes as they are and returns the whole answer. */
export function rawRequest(port: number, text: string): Promise<string> {
  return new Promise((resolve, reject) => {
    const socket = connect(port, '127.0.0.1', () => socket.write(text));
    let answer = '';
    socket.on('data', (chunk) => (answer += String(chunk)));
    socket.on('end', () => resolve(answer));
    socket.on('close', () => resolve(answer));
    socket.on('error', reject);
  });
}

/** The status of an answer; 0 when the connection was closed without one. */
export function statusOf(answer: string): number {
  return Number(/^HTTP\/1\.1 (\d{3}) /.exec(answer)?.[1] ?? 0);
}
