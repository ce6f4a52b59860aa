/** A throwaway PostgreSQL server in a folder of its own, on a socket there and no network port: nothing else can meet it. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { chownSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { createServer, connect as dial, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Where Debian and others put the server programs; null where there are none. */
function serverPrograms(): string | null {
  const root = '/usr/lib/postgresql';
  const versions = existsSync(root) ? readdirSync(root).sort((a, b) => Number(b) - Number(a)) : [];
  const folder = versions
    .map((version) => join(root, version, 'bin'))
    .find((bin) => existsSync(join(bin, 'initdb')));
  return folder ?? null;
}

/** The server refuses to run as root: root runs it as the user that its package made. */
function serverUser(): { uid?: number; gid?: number } | null {
  if (process.getuid?.() !== 0) return {};
  try {
    const id = (flag: string) =>
      Number(execFileSync('id', [flag, 'postgres'], { encoding: 'utf8', stdio: 'pipe' }));
    return { uid: id('-u'), gid: id('-g') };
  } catch {
    return null;
  }
}

const programs = serverPrograms();
const user = serverUser();
export const hasPostgres = programs !== null && user !== null;

const socketName = '.s.PGSQL.5432';
const urlIn = (folder: string): string =>
  `postgres://crew@localhost/postgres?host=${encodeURIComponent(folder)}`;

export class PostgresServer {
  readonly folder = mkdtempSync(join(tmpdir(), 'pg-'));
  readonly url = urlIn(this.folder);
  #server: ChildProcess | null = null;

  static async start(): Promise<PostgresServer> {
    const server = new PostgresServer();
    if (user!.uid !== undefined) chownSync(server.folder, user!.uid, user!.gid!);
    execFileSync(
      join(programs!, 'initdb'),
      ['-D', join(server.folder, 'data'), '-U', 'crew', '-A', 'trust', '-E', 'UTF8', '--no-sync'],
      { ...user!, cwd: server.folder, stdio: 'pipe' },
    );
    await server.begin();
    return server;
  }

  async begin(): Promise<void> {
    const server = spawn(
      join(programs!, 'postgres'),
      ['-D', join(this.folder, 'data'), '-k', this.folder, '-c', 'listen_addresses='],
      { ...user!, cwd: this.folder, stdio: ['ignore', 'ignore', 'pipe'] },
    );
    this.#server = server;
    await new Promise<void>((resolve, reject) => {
      let log = '';
      server.stderr!.on('data', (part) => {
        log += part;
        if (log.includes('ready to accept connections')) resolve();
      });
      server.once('exit', () => reject(new Error(log)));
    });
  }

  /** Ends it as "fast" or "immediate" shutdown does, the latter as a crash would. */
  async end(signal: 'SIGINT' | 'SIGQUIT' = 'SIGINT'): Promise<void> {
    const server = this.#server;
    if (server === null) return;
    this.#server = null;
    const gone = new Promise((resolve) => server.once('exit', resolve));
    server.kill(signal);
    await gone;
  }

  /** Runs statements as the owner of everything. */
  async sql<R = Record<string, unknown>>(text: string, values: unknown[] = []): Promise<R[]> {
    const { default: pg } = await import('pg');
    const client = new pg.Client({ connectionString: this.url });
    await client.connect();
    try {
      return (await client.query(text, values)).rows as R[];
    } finally {
      await client.end();
    }
  }

  async remove(): Promise<void> {
    await this.end();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** Stands between a program and the server, and may swallow what the server says to a commit and hang up. */
export class Between {
  readonly #folder = mkdtempSync(join(tmpdir(), 'pg-between-'));
  readonly url = urlIn(this.#folder);
  /** Answers to commits that are still to be swallowed. */
  swallow = 0;
  swallowed = 0;
  readonly #listening: Server;
  readonly #open = new Set<Socket>();

  private constructor(server: PostgresServer) {
    this.#listening = createServer((near) => {
      const far = dial(join(server.folder, socketName));
      for (const one of [near, far]) {
        this.#open.add(one);
        one.on('error', () => {});
        one.on('close', () => {
          this.#open.delete(one);
          near.destroy();
          far.destroy();
        });
      }
      let deaf = false;
      near.on('data', (part) => {
        if (this.swallow > 0 && part.includes('COMMIT')) {
          this.swallow--;
          deaf = true;
        }
        far.write(part);
      });
      far.on('data', (part) => {
        if (!deaf) return near.write(part);
        // The commit is done; nobody hears of it.
        this.swallowed++;
        near.destroy();
      });
    });
  }

  static async of(server: PostgresServer): Promise<Between> {
    const between = new Between(server);
    await new Promise<void>((resolve) =>
      between.#listening.listen(join(between.#folder, socketName), resolve),
    );
    return between;
  }

  async close(): Promise<void> {
    for (const socket of this.#open) socket.destroy();
    await new Promise((resolve) => this.#listening.close(resolve));
    rmSync(this.#folder, { recursive: true, force: true });
  }
}
