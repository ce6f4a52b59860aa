/** The server as a process of its own, and clients that keep their connection to it. */
import { type ChildProcess, spawn } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { Agent, type IncomingMessage, request } from 'node:http';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

export class ServerProcess {
  private constructor(
    readonly child: ChildProcess,
    readonly port: number,
    readonly said: () => string,
    readonly ended: Promise<number | null>,
  ) {}

  /** Resolves when it answers. `more`: arguments besides the book; `--deaf` unless it is to hear. */
  static async start(
    book: string,
    { hears = false, env = {} }: { readonly hears?: boolean; readonly env?: NodeJS.ProcessEnv } = {},
  ): Promise<ServerProcess> {
    const child = spawn(
      process.execPath,
      ['--import', 'tsx', 'server/main.ts', ...(hears ? [] : ['--deaf']), '--book', book],
      { cwd: root, env: { ...process.env, PORT: '0', ...env }, stdio: ['ignore', 'pipe', 'pipe'] },
    );
    let text = '';
    const ended = new Promise<number | null>((resolve) => child.once('close', resolve));
    const port = await new Promise<number>((resolve, reject) => {
      const listen = (part: Buffer) => {
        text += part;
        const found = /http:\/\/localhost:(\d+)\n/.exec(text);
        if (found) resolve(Number(found[1]));
      };
      child.stdout!.on('data', listen);
      child.stderr!.on('data', listen);
      void ended.then((code) => reject(new Error(`the server ended with ${code}: ${text}`)));
    });
    const server = new ServerProcess(child, port, () => text, ended);
    const client = new Client(port);
    await client.get('/api/state');
    client.close();
    return server;
  }

  /** Processor time that it used so far (Linux). */
  processorMs(): number {
    const fields = readFileSync(`/proc/${this.child.pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
    return (Number(fields[11]) + Number(fields[12])) * 10;
  }

  /** Bytes of memory in use, and open files (Linux). */
  held(): { readonly bytes: number; readonly handles: number } {
    const status = readFileSync(`/proc/${this.child.pid}/status`, 'utf8');
    const bytes = 1024 * Number(/VmRSS:\s+(\d+)/.exec(status)![1]);
    return { bytes, handles: readdirSync(`/proc/${this.child.pid}/fd`).length };
  }

  /** Bytes in use after its garbage was collected; only where it was started with `collect.mjs`. */
  async inUse(): Promise<number> {
    const before = this.said().length;
    this.child.kill('SIGUSR2');
    for (let tries = 0; tries < 1000; tries++) {
      const found = /in use: (\d+)\n/.exec(this.said().slice(before));
      if (found) return Number(found[1]);
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
    throw new Error('the server does not say what it has in use');
  }

  async stop(signal: NodeJS.Signals = 'SIGTERM'): Promise<void> {
    this.child.kill(signal);
    await this.ended;
  }
}

export interface Answered {
  readonly status: number;
  readonly body: unknown;
  /** Milliseconds from the question to the whole answer. */
  readonly ms: number;
}

/** One connection to the server, one question after another. */
export class Client {
  readonly #agent = new Agent({ keepAlive: true, maxSockets: 1 });

  constructor(private readonly port: number) {}

  get(path: string): Promise<Answered> {
    return this.#ask('GET', path);
  }

  post(path: string, body: object | Uint8Array, type = 'application/json'): Promise<Answered> {
    return this.#ask(
      'POST',
      path,
      body instanceof Uint8Array ? body : Buffer.from(JSON.stringify(body)),
      type,
    );
  }

  note(words: string): Promise<Answered> {
    return this.post('/api/note', { words });
  }

  close(): void {
    this.#agent.destroy();
  }

  #ask(method: string, path: string, body?: Uint8Array, type?: string): Promise<Answered> {
    const began = performance.now();
    return new Promise((resolve, reject) => {
      const asking = request(
        {
          host: '127.0.0.1',
          port: this.port,
          method,
          path,
          agent: this.#agent,
          headers: body ? { 'content-type': type, 'content-length': body.length } : {},
        },
        async (answer: IncomingMessage) => {
          try {
            const parts: Buffer[] = [];
            for await (const part of answer) parts.push(part as Buffer);
            const text = Buffer.concat(parts).toString('utf8');
            const json = String(answer.headers['content-type']).includes('json');
            const ms = performance.now() - began;
            resolve({ status: answer.statusCode ?? 0, body: json ? JSON.parse(text) : text, ms });
          } catch (cause) {
            reject(cause);
          }
        },
      );
      asking.on('error', reject);
      asking.end(body);
    });
  }
}

/** Value below which this share of the times lies, milliseconds. */
export function percentile(times: readonly number[], share: number): number {
  const sorted = [...times].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(share * sorted.length))] ?? Number.NaN;
}
