/**
 * The device that a running program signs with in a crew's book: one of its host that nobody uses, or a new one. A lock
 * of a connection of its own shows that it is in use, and a count that every taking raises proves it: what is signed is
 * written only while nobody else took the device since, however connections come and go.
 */

import { hostname } from 'node:os';
import pg from 'pg';
import type { DeviceId } from '../../shared/note/journal.ts';
import { freshDevice } from './identity.ts';
import { connectionOf } from './postgres-link.ts';
import { lockSpace } from './postgres-schema.ts';
import { StoreError } from './store.ts';

interface Device {
  readonly number: number;
  readonly device: DeviceId;
  readonly taken: number;
}

export class DeviceClaim {
  readonly device: DeviceId;
  readonly #of: Device;
  readonly #address: string;
  readonly #book: string;
  #client: pg.Client | null;

  private constructor(client: pg.Client, address: string, book: string, of: Device) {
    this.device = of.device;
    this.#of = of;
    this.#address = address;
    this.#book = book;
    this.#client = client;
    this.#watch(client);
  }

  static async take(address: string, book: string): Promise<DeviceClaim> {
    const client = await connected(address);
    try {
      return new DeviceClaim(client, address, book, await taken(client, book));
    } catch (cause) {
      await client.end();
      throw cause;
    }
  }

  /** Shows again that the device is in use, where the connection that showed it was lost. */
  async hold(): Promise<void> {
    if (this.#client !== null) return;
    const client = await connected(this.#address);
    this.#client = client;
    this.#watch(client);
    // Not to be had while the database still keeps the connection that was lost: then that one stands for it.
    await locked(client, this.#of.number);
  }

  /** @throws StoreError when another program took the device since: both would sign different entries alike. */
  async prove(client: pg.PoolClient): Promise<void> {
    const { rows } = await client.query<{ taken: number }>(
      'SELECT taken FROM stemsay_devices WHERE number = $1 FOR SHARE',
      [this.#of.number],
    );
    if (rows[0]?.taken === this.#of.taken) return;
    throw new StoreError({
      kind: 'locked',
      sentence: `Another stemsay of this machine took over "${this.#book}" while the crew's database was away; nothing of this was kept. Start stemsay again.`,
    });
  }

  async release(): Promise<void> {
    const client = this.#client;
    this.#client = null;
    await client?.end().catch(() => {});
  }

  #watch(client: pg.Client): void {
    const gone = () => {
      if (this.#client === client) this.#client = null;
    };
    client.on('error', gone);
    client.on('end', gone);
  }
}

async function connected(address: string): Promise<pg.Client> {
  const client = new pg.Client(connectionOf(address));
  // Before it is watched: a connection that breaks while it is made also says so by itself.
  client.on('error', () => {});
  await client.connect();
  // So that the database notices a machine that is gone in a minute, not in two hours.
  await client.query(
    'SET tcp_keepalives_idle = 30; SET tcp_keepalives_interval = 10; SET tcp_keepalives_count = 3',
  );
  return client;
}

async function locked(client: pg.Client, number: number): Promise<boolean> {
  const { rows } = await client.query<{ got: boolean }>('SELECT pg_try_advisory_lock($1, $2) AS got', [
    lockSpace,
    number,
  ]);
  return rows[0]?.got === true;
}

async function taken(client: pg.Client, book: string): Promise<Device> {
  const { rows } = await client.query<{ number: number }>(
    'SELECT number FROM stemsay_devices WHERE book = $1 AND host = $2 ORDER BY number',
    [book, hostname()],
  );
  for (const { number } of rows) {
    if (!(await locked(client, number))) continue;
    const mine = await client.query<Device>(
      'UPDATE stemsay_devices SET taken = taken + 1 WHERE number = $1 RETURNING number, device, taken',
      [number],
    );
    return mine.rows[0]!;
  }
  const made = await client.query<Device>(
    'INSERT INTO stemsay_devices (book, host, device) VALUES ($1, $2, $3) RETURNING number, device, taken',
    [book, hostname(), freshDevice()],
  );
  await locked(client, made.rows[0]!.number);
  return made.rows[0]!;
}
