/** The authority and its certificates, judged by OpenSSL: what they vouch for, how long, and what they never can. */
import { spawnSync } from 'node:child_process';
import { X509Certificate } from 'node:crypto';
import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import type { NetworkInterfaceInfo } from 'node:os';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from 'vitest';
import { isPrivate, localNames } from '../../../server/access/addresses.ts';
import { type Authority, openAuthority } from '../../../server/access/authority.ts';

const folder = mkdtempSync(join(tmpdir(), 'authority-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const now = Date.UTC(2026, 4, 1);
const day = 86_400_000;
let made = 0;
const fresh = () => join(folder, String(made++));

async function opened(where: string, at = now): Promise<Authority> {
  const authority = await openAuthority(where, 'mill', at);
  if (!authority.ok) throw new Error(authority.error);
  return authority.value;
}
const sentence = async (where: string, at = now): Promise<string> => {
  const authority = await openAuthority(where, 'mill', at);
  return authority.ok ? '' : authority.error;
};

/** What `openssl verify` says of a leaf, as a server's certificate for that host, at a time. */
function verdict(where: string, pem: string, host: string, time = now): string {
  const leaf = join(folder, 'leaf.pem');
  writeFileSync(leaf, pem);
  const name = /^[\d.]+$/.test(host) ? '-verify_ip' : '-verify_hostname';
  const { stdout, stderr } = spawnSync(
    'openssl',
    [
      ...['verify', '-x509_strict', '-purpose', 'sslserver', '-attime', String(Math.floor(time / 1000))],
      ...[name, host, '-CAfile', join(where, 'authority.crt'), leaf],
    ],
    { encoding: 'utf8' },
  );
  return stdout + stderr;
}
const openssl = spawnSync('openssl', ['version']).error === undefined;

describe('the authority', () => {
  test('is made once, its key readable by its owner only, and is the same after a restart', async () => {
    const where = fresh();
    const first = await opened(where);
    expect(readdirSync(where).sort()).toEqual(['authority.crt', 'authority.key']);
    expect(statSync(join(where, 'authority.key')).mode & 0o777).toBe(0o600);
    expect(statSync(where).mode & 0o777).toBe(0o700);
    expect((await opened(where)).fingerprint).toBe(first.fingerprint);
    expect((await opened(fresh())).fingerprint).not.toBe(first.fingerprint);
  });

  test('shows the fingerprint that every other program shows of its certificate', async () => {
    const where = fresh();
    const { fingerprint, certificate } = await opened(where);
    const node = new X509Certificate(certificate).fingerprint256.replaceAll(':', '');
    expect(fingerprint.replaceAll(' ', '')).toBe(node);
    expect(node).toMatch(/^[0-9A-F]{64}$/);
  });

  test.each([
    ['a key that is no key', 'authority.key', 'not a key', /cannot be read/],
    ['half a certificate', 'authority.crt', '-----BEGIN CERTIFICATE-----\nMIIB', /cannot be read/],
    ['an empty key', 'authority.key', '', /cannot be read/],
  ])('with %s it says so and makes no other in silence', async (_, file, text, words) => {
    const where = fresh();
    await opened(where);
    const before = readFileSync(join(where, 'authority.crt'), 'utf8');
    writeFileSync(join(where, file), text);
    expect(await sentence(where)).toMatch(words);
    expect(await sentence(where)).toMatch(/Put it back from a copy; or remove/);
    if (file !== 'authority.crt') expect(readFileSync(join(where, 'authority.crt'), 'utf8')).toBe(before);
  });

  test('whose key others can read, or belongs to another certificate, is not used', async () => {
    const [one, two] = [fresh(), fresh()];
    await opened(one);
    await opened(two);
    writeFileSync(join(one, 'authority.key'), readFileSync(join(two, 'authority.key')));
    expect(await sentence(one)).toMatch(/not the one of its certificate/);
    chmodSync(join(two, 'authority.key'), 0o644);
    expect(await sentence(two)).toMatch(/can be read by others.*chmod 600/);
  });

  test('says in time that it ends', async () => {
    const where = fresh();
    await opened(where);
    expect(await sentence(where, now + 3000 * day)).toBe('');
    expect(await sentence(where, now + 3600 * day)).toMatch(/ends on/);
  });
});

describe.skipIf(!openssl)('a certificate of this machine', () => {
  const home = { addresses: ['10.77.0.1', '192.168.1.5'], name: 'mill.local' };

  test('is good for each of its addresses and names, and for no other', async () => {
    const where = fresh();
    const { cert } = await (await opened(where)).issue(home, now);
    for (const host of ['192.168.1.5', '10.77.0.1', 'mill.local'])
      expect(verdict(where, cert, host)).toContain('leaf.pem: OK');
    expect(verdict(where, cert, '192.168.1.6')).toMatch(/IP address mismatch/);
    expect(verdict(where, cert, 'wood.local')).toMatch(/hostname mismatch/i);
  });

  test('holds for a phone whose clock is a year wrong, and not for ever', async () => {
    const where = fresh();
    const { cert } = await (await opened(where)).issue(home, now);
    for (const off of [-365, 0, 365])
      expect(verdict(where, cert, 'mill.local', now + off * day)).toContain('leaf.pem: OK');
    expect(verdict(where, cert, 'mill.local', now + 500 * day)).toMatch(/expired/);
    const leaf = new X509Certificate(cert);
    const life = (Date.parse(leaf.validTo) - Date.parse(leaf.validFrom)) / day;
    // The longest that iPhones take of an authority which was installed by hand: support.apple.com/en-us/103769.
    expect(life).toBeLessThanOrEqual(825);
  });

  test.each([
    ['a site of the internet', { addresses: [], name: 'wood.example' }, 'wood.example'],
    ['a public address', { addresses: ['8.8.8.8'], name: null }, '8.8.8.8'],
    ['a name that only ends like ours', { addresses: [], name: 'notlocal' }, 'notlocal'],
  ])('cannot be forged for %s, even with the key', async (_, names, host) => {
    const where = fresh();
    const { cert } = await (await opened(where)).issue(names, now);
    expect(verdict(where, cert, host)).toMatch(/permitted subtree violation/);
  });

  test('cannot be made by a certificate that the authority gave away', async () => {
    const where = fresh();
    const authority = await opened(where);
    const { cert } = await authority.issue(home, now);
    const details = spawnSync('openssl', ['x509', '-noout', '-text'], {
      input: cert,
      encoding: 'utf8',
    }).stdout;
    expect(details).toContain('CA:FALSE');
    expect(details).toContain('TLS Web Server Authentication');
  });
});

describe('the names of a machine', () => {
  const at = (address: string, internal = false): NetworkInterfaceInfo =>
    ({ address, internal, family: 'IPv4', netmask: '', mac: '', cidr: null }) as NetworkInterfaceInfo;

  test('are its private addresses and its name with .local', () => {
    const interfaces = {
      lo: [at('127.0.0.1', true)],
      wlan0: [at('192.168.1.5'), at('fe80::1')],
      eth0: [at('10.0.0.7'), at('203.0.113.9')],
    };
    expect(localNames(interfaces, 'Mill.office.example')).toEqual({
      addresses: ['10.0.0.7', '192.168.1.5'],
      name: 'mill.local',
    });
    expect(localNames({}, 'localhost')).toEqual({ addresses: [], name: null });
    expect(localNames({}, 'käse')).toEqual({ addresses: [], name: null });
  });

  // RFC 1918, RFC 3927, RFC 6598: first and last address of each block, and the ones beside them.
  test.each([
    ['10.0.0.0', true],
    ['10.255.255.255', true],
    ['9.255.255.255', false],
    ['172.15.255.255', false],
    ['172.16.0.0', true],
    ['172.31.255.255', true],
    ['172.32.0.0', false],
    ['192.168.0.1', true],
    ['192.169.0.1', false],
    ['169.254.1.1', true],
    ['100.63.255.255', false],
    ['100.64.0.0', true],
    ['100.127.255.255', true],
    ['::ffff:192.168.1.5', true],
    ['2001:db8::1', false],
    ['8.8.8.8', false],
  ])('%s is private: %s', (address, is) => expect(isPrivate(address)).toBe(is));
});
