/**
 * Fetches the files of dictation: the only thing in the program that reaches for the network, and only when the user
 * has said so after being told from where, how much and to where.
 */
import { createWriteStream } from 'node:fs';
import { mkdir, rename, rm } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { env } from '@xenova/transformers';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { dictationFiles } from './dictation.ts';

interface Fetching {
  /** Address of the folder with the files; where the library itself would look unless given. */
  readonly from?: string | undefined;
  readonly to: string;
  /** Told the whole plan; true lets it go ahead. */
  readonly agree: (plan: string) => Promise<boolean>;
  /** One line when a file is there. */
  readonly tell: (line: string) => void;
  readonly fetch?: typeof fetch;
}

const recogniser = 'Xenova/whisper-tiny.en';

/** STEMSAY_DICTATION_FROM, else the library's own address of the small English recogniser (MIT licence). */
const dictationSource = (): string =>
  process.env.STEMSAY_DICTATION_FROM ??
  `${env.remoteHost}${env.remotePathTemplate.replace('{model}', recogniser).replace('{revision}', 'main')}`;

/** Megabytes as a person says them. */
const megabytes = (bytes: number): string => `${(bytes / 1e6).toFixed(1)} MB`;

/** Says sizes, asks, fetches. A file that came only in part is not kept; what is there stays. */
export async function fetchDictation(options: Fetching): Promise<Result<string, string>> {
  const get = options.fetch ?? fetch;
  const base = (options.from ?? dictationSource()).replace(/\/*$/, '/');
  if (!URL.canParse(base) || !/^https?:$/.test(new URL(base).protocol))
    return err(`Expected an address that begins with http:// or https://, found "${base}".`);
  let total = 0;
  const sizes: number[] = [];
  for (const file of dictationFiles) {
    try {
      const head = await get(new URL(file, base), { method: 'HEAD' });
      if (!head.ok) return err(`${new URL(file, base)} is not there (${head.status}). Nothing was fetched.`);
      const size = Number(head.headers.get('content-length') ?? Number.NaN);
      sizes.push(size);
      total += size;
    } catch (problem) {
      return err(`${base} cannot be reached: ${cause(problem)}. Nothing was fetched.`);
    }
  }
  const size = Number.isFinite(total) ? megabytes(total) : 'about 41 MB (the sizes were not told)';
  const plan = `${dictationFiles.length} files, ${size}, from ${base} to ${options.to}.`;
  if (!(await options.agree(plan))) return err('Nothing was fetched.');
  for (const [i, file] of dictationFiles.entries()) {
    const target = join(options.to, file);
    const part = `${target}.part`;
    try {
      await mkdir(dirname(target), { recursive: true });
      const response = await get(new URL(file, base));
      if (!response.ok || response.body === null) throw new Error(`answer ${response.status}`);
      let came = 0;
      const counted = Readable.fromWeb(response.body as Parameters<typeof Readable.fromWeb>[0]);
      counted.on('data', (piece: Uint8Array) => {
        came += piece.length;
      });
      await pipeline(counted, createWriteStream(part));
      if (Number.isFinite(sizes[i]) && came !== sizes[i])
        throw new Error(`${came} of ${sizes[i]} bytes came`);
      await rename(part, target);
      options.tell(`${file}, ${megabytes(came)}`);
    } catch (problem) {
      await rm(part, { force: true });
      return err(`${file} could not be fetched: ${cause(problem)}. Run the command again.`);
    }
  }
  return ok(`Dictation is ready in ${options.to}.`);
}

function cause(problem: unknown): string {
  if (!(problem instanceof Error)) return String(problem);
  return problem.cause instanceof Error ? problem.cause.message : problem.message;
}
