/**
 * Two machines on one wire, made of network namespaces of this one: "computer" and "phone", each with an address of its
 * own and no way to anywhere else. Needs root and `ip` (Linux).
 */
import { spawnSync } from 'node:child_process';
import { chmodSync, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export const canMakeNamespaces =
  process.platform === 'linux' && process.getuid?.() === 0 && spawnSync('ip', ['-V']).error === undefined;

export class Wire {
  readonly computer = `st-c${process.pid}`;
  readonly phone = `st-p${process.pid}`;
  readonly #ends = { computer: `vc${process.pid}`, phone: `vp${process.pid}` };

  constructor(
    private computerAddress: string,
    private readonly phoneAddress: string,
  ) {
    const { computer, phone } = this.#ends;
    for (const name of [this.computer, this.phone]) ip('netns', 'add', name);
    ip('link', 'add', computer, 'type', 'veth', 'peer', 'name', phone);
    ip('link', 'set', computer, 'netns', this.computer);
    ip('link', 'set', phone, 'netns', this.phone);
    for (const [space, end, address] of [
      [this.computer, computer, computerAddress],
      [this.phone, phone, phoneAddress],
    ] as const) {
      this.in(space, 'ip', 'addr', 'add', `${address}/24`, 'dev', end);
      this.in(space, 'ip', 'link', 'set', end, 'up');
      this.in(space, 'ip', 'link', 'set', 'lo', 'up');
    }
  }

  /** Runs a command in a namespace to its end; gives what it printed. */
  in(space: string, ...command: string[]): string {
    return run('ip', ['netns', 'exec', space, ...command]);
  }

  /** Out of reach, as in the woods, or back; the computer's own network stays as it is. */
  reach(is: boolean): void {
    const address = ['ip', 'addr', is ? 'add' : 'del', `${this.phoneAddress}/24`, 'dev', this.#ends.phone];
    this.in(this.phone, ...address);
  }

  /** Gives the computer another address, as a router may. */
  move(address: string): void {
    const { computer } = this.#ends;
    this.in(this.computer, 'ip', 'addr', 'del', `${this.computerAddress}/24`, 'dev', computer);
    this.in(this.computer, 'ip', 'addr', 'add', `${address}/24`, 'dev', computer);
    this.computerAddress = address;
  }

  /** A program that starts Chromium in a namespace, with a home of its own: its trust is what lies there. */
  chromium(space: string, home: string): string {
    const file = join(mkdtempSync(join(tmpdir(), 'chromium-')), 'chromium');
    const real = process.env.CHROMIUM ?? '/usr/bin/chromium';
    writeFileSync(file, `#!/bin/sh\nexec ip netns exec ${space} env HOME=${home} ${real} "$@"\n`);
    chmodSync(file, 0o755);
    return file;
  }

  close(): void {
    for (const name of [this.computer, this.phone]) spawnSync('ip', ['netns', 'del', name]);
  }
}

const ip = (...args: string[]): string => run('ip', args);

function run(program: string, args: readonly string[]): string {
  const { status, stdout, stderr } = spawnSync(program, args, { encoding: 'utf8' });
  if (status !== 0) throw new Error(`${program} ${args.join(' ')}: ${stderr}`);
  return stdout;
}
