import type { Route } from '../../../src/daemon/http/door/route-list.ts';

export function nameOf({ method, path }: Pick<Route, 'method' | 'path'>): string {
  return `${method.toUpperCase()} ${path}`;
}

/** An address that the route answers. Its ids are digits, which have no case: a capital would be another id, not another spelling. */
export function addressOf(route: Route): string {
  return `/api${route.path.replaceAll(/:\w+/g, '20261125')}`;
}

/** Every way to write an address that some server, proxy or file system reads as the same one. */
export function spellings(address: string, port: number): string[] {
  const host = `127.0.0.1:${port}`;
  const cut = address.lastIndexOf('/');
  const [head, tail] = [address.slice(0, cut), address.slice(cut + 1)];
  const escaped = (letter: string): string => `%${letter.charCodeAt(0).toString(16)}`;
  return [
    `/API${address.slice(4)}`, `/Api${address.slice(4)}`, address.toUpperCase(), `${head}/${tail[0]!.toUpperCase()}${tail.slice(1)}`,
    `http://${host}${address}`, `HTTP://${host}${address}`, `https://${host}${address}`, `http://${host}//${address}`, `http://evil.example${address}`, `${host}${address}`,
    `/${address}`, `//${host}${address}`, address.replaceAll('/', '//'), `${head}//${tail}`,
    `/.${address}`, `${head}/./${tail}`, `/api/..${address}`, `/x/..${address}`, `${head}/x/../${tail}`,
    `/%61pi${address.slice(4)}`, `/%41PI${address.slice(4)}`, `${head}/${escaped(tail[0]!)}${tail.slice(1)}`, `${head}%2f${tail}`, `${head}%2F${tail}`, `%2fapi${address.slice(4)}`, `${head}/%2e/${tail}`, `${head}%5c${tail}`,
    `${address};x`, `${address};x=1`, `/api;x${address.slice(4)}`, `${address}%3bx`,
    `${head}\\${tail}`, address.replaceAll('/', '\\'), `\\${address.slice(1)}`, `/\\${host}${address}`,
    `${address}.`, `${address}/`, `${address}/.`, `${address}//`, `${address}%00`, `${address}%20`, `${address}#x`, `${address}?\\`,
    address.slice(4), address.slice(1), '*',
  ].filter((spelling) => spelling !== address);
}

export function requestText(method: string, target: string, port: number, key: string | null, body: Route['body']): string {
  const lines = [`${method} ${target} HTTP/1.1`, `Host: 127.0.0.1:${port}`, `Origin: http://127.0.0.1:${port}`, 'Connection: close'];
  if (key !== null) lines.push(`Authorization: Bearer ${key}`);
  const content = body === 'none' || method === 'GET' || method === 'HEAD' ? '' : '{}';
  if (content !== '') lines.push(`Content-Type: ${body === 'file' ? 'application/octet-stream' : 'application/json'}`, `Content-Length: ${content.length}`);
  return `${lines.join('\r\n')}\r\n\r\n${content}`;
}
