/**
 * The local authority: a certificate that the phone installs once, and certificates for this machine's present names
 * that it signs. Its constraints (RFC 5280, section 4.2.1.10) bind it to private addresses and `.local` names, so that
 * a phone which trusts it can never be shown a forged page of the internet, not even by who steals the key.
 */
import 'reflect-metadata';
import { createHash, webcrypto } from 'node:crypto';
import { existsSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { AsnConvert } from '@peculiar/asn1-schema';
import { GeneralName, GeneralSubtree, GeneralSubtrees, NameConstraints } from '@peculiar/asn1-x509';
import * as x509 from '@peculiar/x509';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { ownFolder, writeOwn } from '../program/own-files.ts';
import { hostsOf, type LocalNames, localDomain, privateNetworks } from './addresses.ts';

const curve = { name: 'ECDSA', namedCurve: 'P-256', hash: 'SHA-256' } as const;
const day = 86_400_000;
/**
 * How far certificates reach back and forward. Both leave room for a phone whose clock is a year wrong; a leaf's whole
 * life stays under the 825 days that phones take (support.apple.com/en-us/103769).
 */
const reach = { back: 400 * day, leaf: 400 * day, authority: 3650 * day } as const;

interface LeafCertificate {
  /** PEM of the private key; it is never written to disk. */
  readonly key: string;
  /** PEM of the certificate, then of the authority. */
  readonly cert: string;
}

export interface Authority {
  /** DER, as a phone takes it. */
  readonly certificate: Uint8Array;
  /** SHA-256 of the certificate in groups of four hexadecimal digits, to compare by eye. */
  readonly fingerprint: string;
  /** A new key with a certificate for these names. */
  issue(names: LocalNames, now: number): Promise<LeafCertificate>;
}

/**
 * The authority that is kept in `folder`, made there on first use.
 * Fails with a sentence when what is kept cannot be read: a new one would have to be installed on every phone, so it is
 * never made in silence.
 */
export async function openAuthority(
  folder: string,
  machine: string,
  now: number,
): Promise<Result<Authority, string>> {
  const [keyFile, certificateFile] = [join(folder, 'authority.key'), join(folder, 'authority.crt')];
  const advice = `Put it back from a copy; or remove authority.key and authority.crt there, and install the new certificate on every phone.`;
  ownFolder(folder);
  if (!existsSync(keyFile) && !existsSync(certificateFile)) {
    const made = await makeAuthority(machine, now);
    writeOwn(certificateFile, made.certificate);
    writeOwn(keyFile, made.key);
  }
  try {
    if (process.platform !== 'win32' && (statSync(keyFile).mode & 0o077) !== 0)
      return err(
        `The authority's key ${keyFile} can be read by others. If nobody did: chmod 600 ${keyFile}. ${advice}`,
      );
    const certificate = new x509.X509Certificate(readFileSync(certificateFile, 'utf8'));
    const key = await importKey(readFileSync(keyFile, 'utf8'));
    if (!(await belongs(key, certificate)))
      return err(`The authority's key in ${folder} is not the one of its certificate. ${advice}`);
    if (certificate.notAfter.getTime() - now < reach.leaf)
      return err(`The authority in ${folder} ends on ${certificate.notAfter.toDateString()}. ${advice}`);
    return ok(authorityOf(certificate, key));
  } catch (cause) {
    return err(
      `The authority in ${folder} cannot be read: ${cause instanceof Error ? cause.message : cause}. ${advice}`,
    );
  }
}

function authorityOf(certificate: x509.X509Certificate, key: webcrypto.CryptoKey): Authority {
  const der = new Uint8Array(certificate.rawData);
  return {
    certificate: der,
    fingerprint: fingerprintOf(der),
    async issue(names, now) {
      const keys = (await webcrypto.subtle.generateKey(curve, true, [
        'sign',
        'verify',
      ])) as webcrypto.CryptoKeyPair;
      const leaf = await x509.X509CertificateGenerator.create({
        subject: `CN=${hostsOf(names)[0] ?? localDomain}`,
        issuer: certificate.subject,
        notBefore: new Date(now - reach.back),
        notAfter: new Date(now + reach.leaf),
        publicKey: keys.publicKey,
        signingKey: key,
        signingAlgorithm: curve,
        extensions: [
          new x509.BasicConstraintsExtension(false, undefined, true),
          new x509.KeyUsagesExtension(x509.KeyUsageFlags.digitalSignature, true),
          new x509.ExtendedKeyUsageExtension([x509.ExtendedKeyUsage.serverAuth]),
          new x509.SubjectAlternativeNameExtension([
            ...names.addresses.map((value) => ({ type: 'ip', value }) as const),
            ...(names.name === null ? [] : [{ type: 'dns', value: names.name } as const]),
          ]),
          await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
          await x509.AuthorityKeyIdentifierExtension.create(certificate.publicKey),
        ],
      });
      return {
        key: await exportKey(keys.privateKey),
        cert: `${leaf.toString('pem')}\n${certificate.toString('pem')}\n`,
      };
    },
  };
}

async function makeAuthority(machine: string, now: number): Promise<{ key: string; certificate: string }> {
  const keys = (await webcrypto.subtle.generateKey(curve, true, [
    'sign',
    'verify',
  ])) as webcrypto.CryptoKeyPair;
  const certificate = await x509.X509CertificateGenerator.createSelfSigned({
    name: [{ CN: [`stemsay on ${machine}`] }],
    notBefore: new Date(now - reach.back),
    notAfter: new Date(now + reach.authority),
    keys,
    signingAlgorithm: curve,
    extensions: [
      new x509.BasicConstraintsExtension(true, 0, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.keyCertSign | x509.KeyUsageFlags.cRLSign, true),
      await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
      new x509.Extension('2.5.29.30', true, constraints()),
    ],
  });
  return { key: await exportKey(keys.privateKey), certificate: `${certificate.toString('pem')}\n` };
}

/** Private addresses and `.local`, nothing else: DER of the NameConstraints extension. */
function constraints(): ArrayBuffer {
  const bases = [
    ...privateNetworks.map(([address, bits]) => new GeneralName({ iPAddress: `${address}/${bits}` })),
    new GeneralName({ dNSName: localDomain }),
  ];
  const permittedSubtrees = new GeneralSubtrees(bases.map((base) => new GeneralSubtree({ base })));
  return AsnConvert.serialize(new NameConstraints({ permittedSubtrees }));
}

const exportKey = async (key: webcrypto.CryptoKey): Promise<string> =>
  x509.PemConverter.encode(await webcrypto.subtle.exportKey('pkcs8', key), 'PRIVATE KEY');

const importKey = (pem: string): Promise<webcrypto.CryptoKey> =>
  webcrypto.subtle.importKey('pkcs8', x509.PemConverter.decodeFirst(pem), curve, false, ['sign']);

/** Whether a key made a certificate's public half: what it signs must verify. */
async function belongs(key: webcrypto.CryptoKey, certificate: x509.X509Certificate): Promise<boolean> {
  const words = new TextEncoder().encode('stemsay');
  const signature = await webcrypto.subtle.sign(curve, key, words);
  const half = await certificate.publicKey.export(curve, ['verify']);
  return webcrypto.subtle.verify(curve, half, signature, words);
}

/** `A1B2 C3D4 ...`: 64 digits in groups of four. */
const fingerprintOf = (der: Uint8Array): string =>
  createHash('sha256')
    .update(der)
    .digest('hex')
    .toUpperCase()
    .replace(/.{4}(?=.)/g, '$& ');
