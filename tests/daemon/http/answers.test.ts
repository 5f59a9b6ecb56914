import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { language } from '../../../src/core/present/language.ts';
import { lanAddresses, lanHosts, loopbackHosts, qrRows } from '../../../src/daemon/http/addresses.ts';
import { announceLan } from '../../../src/daemon/http/announce-lan.ts';
import { checkPages } from '../../../src/daemon/http/app.ts';
import { noIpv6, portError } from '../../../src/daemon/http/port-errors.ts';
import { PageLoad, workOf } from '../../../src/daemon/http/page-load.ts';
import { asRequestErrorOfCall, asRequestErrorOfStore } from '../../../src/daemon/http/store-status.ts';
import { limitBytes, namedByPerson, readSent, withScratch } from '../../../src/daemon/http/routes/uploads.ts';
import { StoreError, type StoreErrorCode } from '../../../src/daemon/store/files/store-error.ts';
import { temporaryFolder } from '../stand.ts';

describe('what the store cannot do, as an answer', () => {
  // RFC 9110, section 15: 400 the words are wrong, 404 not there, 409 in the way of another, 413 too large, 500 a fault here, 503 not now; 507 (RFC 4918) no room; 422 (RFC 9110) there, but not to be used so; 499 given up by the one who asked
  it.each([
    [400, ['bad-request', 'bad-name']], [404, ['not-found']], [409, ['exists', 'in-use', 'running']], [413, ['too-large']], [422, ['wrong-format', 'cut-short', 'no-samples']],
    [499, ['cancelled']], [500, ['internal']], [503, ['closing']], [507, ['lock-lost', 'read-only', 'disk-full', 'disk-error']],
  ] as const)('%i is for %j', (status, codes) => {
    for (const code of codes) expect(asRequestErrorOfStore(new StoreError(code as StoreErrorCode, 'So it is.')), code).toMatchObject({ status, code, message: 'So it is.' });
  });

  it('comes of a call to the system that failed, and of no other error', () => {
    const call = (code: string, more: object = { syscall: 'write' }): Error => Object.assign(new Error(code), { code, ...more });
    for (const code of ['ECONNRESET', 'EPIPE', 'ERR_STREAM_PREMATURE_CLOSE']) expect(asRequestErrorOfCall(call(code, {}), 'do this'), code).toMatchObject({ status: 499, code: 'cancelled' });
    expect(asRequestErrorOfCall(call('ENOSPC'), 'do this')).toMatchObject({ status: 507, code: 'disk-full', message: expect.stringContaining('do this') });
    expect(asRequestErrorOfCall(call('ENOSPC', {}), 'do this')).toBeNull();
    expect(asRequestErrorOfCall(new Error('no code'), 'do this')).toBeNull();
  });
});

describe('what is sent as a file', () => {
  const sent = (...parts: string[]): Readable => Readable.from(parts.map((part) => Buffer.from(part)), { objectMode: false });

  it('may have as many bytes as are allowed, and not one more; how many came is heard', async () => {
    const heard: number[] = [];
    const passed: Buffer[] = [];
    await pipeline(sent('abc', 'de'), limitBytes(5, 'Too long.', (bytes) => heard.push(bytes)), async (parts: AsyncIterable<Buffer>) => {
      for await (const part of parts) passed.push(part);
    });
    expect([heard, Buffer.concat(passed).toString()]).toEqual([[3, 5], 'abcde']);
    expect(await readSent(sent('é', 'é'), 4, 'Too long.')).toBe('éé');
    await expect(readSent(sent('abc', 'def'), 5, 'Too long.')).rejects.toMatchObject({ status: 413, code: 'too-large', message: 'Too long.' });
  });

  it('lies in a folder of its own that goes however the work ends', async () => {
    const scratch = temporaryFolder();
    let kept = '';
    const use = async (folder: string): Promise<string> => {
      kept = folder;
      writeFileSync(join(folder, 'upload'), 'x');
      return 'done';
    };
    expect(await withScratch(scratch, use)).toBe('done');
    expect([kept.startsWith(scratch), existsSync(kept)]).toEqual([true, false]);
    await expect(withScratch(scratch, async (folder) => (await use(folder), Promise.reject(new Error('no'))))).rejects.toThrow('no');
    expect(readdirSync(scratch)).toEqual([]);
    await expect(withScratch(join(scratch, 'nowhere'), use)).rejects.toMatchObject({ status: 404, code: 'not-found' });
  });

  it('is named in a refusal as the person knows it', () => {
    const error = namedByPerson(new StoreError('wrong-format', '/scratch/1 is no trace: /scratch/1.'), '/scratch/1', 'before.csv');
    expect(error).toMatchObject({ code: 'wrong-format', message: 'before.csv is no trace: before.csv.' });
    const other = new Error('/scratch/1');
    expect(namedByPerson(other, '/scratch/1', 'before.csv')).toBe(other);
  });
});

describe('the names this computer answers to', () => {
  it('are those of itself with the port, which browsers leave out when it is 80', () => {
    expect(loopbackHosts(8080)).toEqual(['127.0.0.1:8080', 'localhost:8080', '[::1]:8080']);
    expect(loopbackHosts(80)).toEqual(['127.0.0.1:80', 'localhost:80', '[::1]:80', '127.0.0.1', 'localhost', '[::1]']);
  });

  it('in the network are its addresses too, IPv4 first, none of them its own alone or in need of a zone', () => {
    const of = (family: 'IPv4' | 'IPv6', address: string, internal = false) => ({ family, address, internal });
    const addresses = lanAddresses({
      lo: [of('IPv4', '127.0.0.1', true), of('IPv6', '::1', true)],
      wlan0: [of('IPv6', 'FE80::1'), of('IPv6', '2001:DB8::7'), of('IPv4', '192.0.2.7')],
      gone: undefined,
      eth0: [of('IPv4', '198.51.100.9')],
    });
    expect(addresses).toEqual(['192.0.2.7', '198.51.100.9', '[2001:db8::7]']);
    const own = loopbackHosts(8080);
    expect(lanHosts(8080, addresses, 'Depot')).toEqual([...own, '192.0.2.7:8080', '198.51.100.9:8080', '[2001:db8::7]:8080', 'depot:8080', 'depot.local:8080']);
    expect(lanHosts(8080, [], 'depot.example')).toEqual([...own, 'depot.example:8080']);
    // a name that no Host header carries
    expect(lanHosts(8080, [], 'my depot')).toEqual(own);
    // of this computer itself
    for (const address of lanAddresses()) expect(lanHosts(8080)).toContain(`${address}:8080`);
  });

  it('are drawn as squares with a border of four (ISO/IEC 18004)', () => {
    const rows = qrRows('http://192.0.2.7:8080/#key').split('\n');
    expect(rows.every((row) => row.length === rows.length && /^[# ]+$/.test(row))).toBe(true);
    for (const blank of [...rows.slice(0, 4), ...rows.slice(-4)]) expect(blank.trim()).toBe('');
    // the finder in the corner: seven dark in a row
    expect(rows[4]!.slice(0, 12)).toBe('    ####### ');
  });

  it('are told to the person who opens it to the network, with both keys and what they let', () => {
    const said: string[] = [];
    announceLan((text) => said.push(text), 8080, { operate: 'o-key', view: 'v-key' });
    const [host] = lanAddresses();
    if (host === undefined) expect(said).toEqual([language.daemon.http.announceLan.thisMachineHasNo]);
    else {
      expect(said).toHaveLength(3);
      expect(said[0]).toContain(`http://${host}:8080/#o-key`);
      expect(said[1]).toContain(`http://${host}:8080/#v-key`);
      expect(said[0]).not.toContain('v-key');
    }
  });
});

describe('a port that cannot be had', () => {
  it('is named with the reason; a machine without IPv6 is served without it', () => {
    const of = (code: string): Error => Object.assign(new Error(`listen ${code}`), { code });
    const words = language.daemon.http.server;
    expect(portError(of('EADDRINUSE'), 80)).toMatchObject({ code: 'port-in-use', message: words.portIsInUse(80) });
    expect(portError(of('EACCES'), 80)).toMatchObject({ code: 'port-refused', message: words.portMayNotBe(80) });
    expect(portError(of('EMFILE'), 80)).toMatchObject({ code: 'port-refused', message: words.portCannotBeOpened(80, 'listen EMFILE') });
    expect(['EAFNOSUPPORT', 'EADDRNOTAVAIL', 'EADDRINUSE'].map((code) => noIpv6(of(code)))).toEqual([true, true, false]);
  });
});

describe('the built pages', () => {
  it('are there, or it is said before anything starts', () => {
    const folder = temporaryFolder();
    expect(() => checkPages(folder)).toThrow(folder);
    mkdirSync(join(folder, 'web'));
    writeFileSync(join(folder, 'web', 'index.html'), '');
    expect(() => checkPages(join(folder, 'web'))).not.toThrow();
  });
});

describe('what pages cost', () => {
  const pages = (...noises: (string | null)[]) => {
    const list = noises.map((noise) => ({ work: 0, noise }));
    return { list, load: new PageLoad(list) };
  };

  it('is one a message and one for each 2,000 bytes', () => {
    expect([workOf(0), workOf(2000), workOf(500)]).toEqual([1, 2, 1.25]);
  });

  it('may be 1,000 a beat for each sender, over all its pages; the loudest goes', () => {
    const { list, load } = pages('a', 'a', 'b', null);
    expect(load.add(list[0]!, 600)).toBeNull();
    expect(load.add(list[2]!, 900)).toBeNull();
    expect(load.add(list[1]!, 400)).toBeNull();
    expect(load.add(list[1]!, 1)).toBe(list[0]);
    load.shut(list[0]!);
    expect([load.isNoisy('a'), load.isNoisy('b'), list[0]!.noise]).toEqual([true, false, null]);
    // what has gone counts no more
    expect(load.add(list[1]!, 400)).toBeNull();
  });

  it('ends of two as loud the one that sends', () => {
    const { list, load } = pages('a', 'a');
    load.add(list[0]!, 500.5);
    expect(load.add(list[1]!, 500.5)).toBe(list[1]);
  });

  it('of one page alone is bounded too, also before it has joined', () => {
    const { list, load } = pages(null, null, 'a');
    expect(load.add(list[0]!, 1000)).toBeNull();
    expect(load.add(list[1]!, 1000)).toBeNull();
    expect(load.add(list[0]!, 0.5)).toBe(list[0]);
    load.shut(list[0]!);
    expect(load.isNoisy('null')).toBe(false);
    expect(load.add(list[2]!, 1000)).toBeNull();
    expect(load.add(list[2]!, 1)).toBe(list[2]);
  });

  it('is forgotten with each beat', () => {
    const { list, load } = pages('a');
    load.add(list[0]!, 1001);
    load.shut(list[0]!);
    list[0]!.noise = 'a';
    load.beat();
    expect([load.isNoisy('a'), list[0]!.work]).toEqual([false, 0]);
    expect(load.add(list[0]!, 1000)).toBeNull();
  });
});
