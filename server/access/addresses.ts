/**
 * Under which addresses and names this machine is reached on its local network. Only private addresses count: the
 * tool is never served to the internet, and the authority of `authority.ts` may not vouch for anything else.
 */
import { BlockList, isIPv4 } from 'node:net';
import type { NetworkInterfaceInfo } from 'node:os';

/** Private, link-local and shared address space: RFC 1918, RFC 3927, RFC 6598. */
export const privateNetworks = [
  ['10.0.0.0', 8],
  ['172.16.0.0', 12],
  ['192.168.0.0', 16],
  ['169.254.0.0', 16],
  ['100.64.0.0', 10],
] as const;

/** The domain of names that a network resolves without a server (RFC 6762). */
export const localDomain = 'local';

const ranges = new BlockList();
for (const [address, bits] of privateNetworks) ranges.addSubnet(address, bits);

/** Whether an IPv4 address belongs to a private network; the IPv4-in-IPv6 form counts as its IPv4 address. */
export function isPrivate(address: string): boolean {
  const plain = address.replace(/^::ffff:/, '');
  return isIPv4(plain) && ranges.check(plain);
}

export interface LocalNames {
  /** IPv4 addresses, sorted, so that equal machines give equal lists. */
  readonly addresses: readonly string[];
  /** `name.local`, for networks that know such names; null where the machine's name does not make one. */
  readonly name: string | null;
}

/**
 * The names of a machine from what Node says of it.
 *
 * @example
 * localNames({}, 'mill').name // 'mill.local'
 */
export function localNames(
  interfaces: Readonly<Record<string, readonly NetworkInterfaceInfo[] | undefined>>,
  hostname: string,
): LocalNames {
  const addresses = Object.values(interfaces)
    .flatMap((list) => list ?? [])
    .filter(({ internal, address }) => !internal && isPrivate(address))
    .map(({ address }) => address);
  const label = hostname.split('.')[0]!.toLowerCase();
  const name = /^[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?$/.test(label) && label !== 'localhost';
  return { addresses: [...new Set(addresses)].sort(), name: name ? `${label}.${localDomain}` : null };
}

/** Every host that a request may ask for. */
export const hostsOf = ({ addresses, name }: LocalNames): string[] =>
  name === null ? [...addresses] : [...addresses, name];
