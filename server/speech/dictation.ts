/**
 * Words of remarks: free speech, written down by a general recogniser in a process of its own. Its files are no part
 * of the program; without them a remark has its clip and the words that the grammar's ear knows. Nothing is fetched
 * unless the user runs `stemsay fetch-dictation`.
 */

import type { ChildProcess } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { places } from '../program/places.ts';
import { startProcess } from '../program/processes.ts';
import type { FromWriter, ToWriter } from './messages.ts';

export interface Dictation {
  /**
   * The words of a clip (16 kHz, mono, -1 to 1, at most 30 s), or the sentence why there are none. Never rejects; a
   * process that hangs or dies costs this clip its words, nothing else.
   */
  write(samples: Float32Array): Promise<Result<string, string>>;
  /** Why nothing can be written down, or null. */
  readonly missing: string | null;
  close(): void;
}

interface DictationOptions {
  /** Folder of the recogniser in the layout of @xenova/transformers. */
  readonly folder?: string;
  /** Milliseconds for one clip, the first's loading included. */
  readonly patience?: number;
  /** Milliseconds after the last clip until the process, about 300 MB, is ended. */
  readonly idle?: number;
  /** Starts the process; another one in tests. */
  readonly spawn?: (folder: string) => ChildProcess;
}

/** The files, as the library names them. */
export const dictationFiles = [
  'config.json',
  'generation_config.json',
  'preprocessor_config.json',
  'tokenizer.json',
  'tokenizer_config.json',
  'onnx/encoder_model_quantized.onnx',
  'onnx/decoder_model_merged_quantized.onnx',
] as const;

/** STEMSAY_DICTATION, else a folder beside the program's other kept files. */
export const dictationFolder = (): string => process.env.STEMSAY_DICTATION ?? join(places.kept, 'dictation');

const spawnWriter = (folder: string): ChildProcess =>
  startProcess('dictation', [folder], {
    // The runtime warns of every unused weight; what matters comes as a message.
    stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
  });

/**
 * Dictation from a folder. Starts no process before the first clip.
 */
export function createDictation(options: DictationOptions = {}): Dictation {
  const folder = options.folder ?? dictationFolder();
  const patience = options.patience ?? 20_000;
  const idle = options.idle ?? 60_000;
  const spawn = options.spawn ?? spawnWriter;
  let writer: ChildProcess | null = null;
  let rest: NodeJS.Timeout | undefined;
  let id = 0;
  let turn: Promise<unknown> = Promise.resolve();

  function end(): void {
    clearTimeout(rest);
    writer?.kill('SIGKILL');
    writer = null;
  }

  function missing(): string | null {
    const absent = dictationFiles.find((file) => !existsSync(join(folder, file)));
    return absent === undefined
      ? null
      : `Remarks keep their sound; for their words ${absent} is missing in ${folder}. "stemsay fetch-dictation" gets it.`;
  }

  function one(samples: Float32Array): Promise<Result<string, string>> {
    clearTimeout(rest);
    if (writer === null) {
      const fresh = spawn(folder);
      // One that dies between two clips is not asked again.
      fresh.once('close', () => {
        if (writer === fresh) writer = null;
      });
      writer = fresh;
    }
    const mine = writer;
    const number = ++id;
    return new Promise((resolve) => {
      const settle = (result: Result<string, string>): void => {
        clearTimeout(limit);
        mine.off('message', heard);
        mine.off('close', died);
        mine.off('error', died);
        if (writer === mine && writer !== null) {
          rest = setTimeout(end, idle);
          rest.unref();
        }
        resolve(result);
      };
      const heard = (message: FromWriter): void => {
        if (message.id !== number) return;
        settle('text' in message ? ok(message.text) : err(`Dictation failed: ${message.failed}`));
      };
      const died = (): void => {
        if (writer === mine) writer = null;
        settle(err('Dictation stopped; the remark keeps its sound.'));
      };
      const limit = setTimeout(() => {
        end();
        settle(err('Dictation took too long; the remark keeps its sound.'));
      }, patience);
      mine.on('message', heard);
      mine.once('close', died);
      mine.once('error', died);
      mine.send({ id: number, samples } satisfies ToWriter, (problem) => {
        if (problem) died();
      });
    });
  }

  return {
    get missing() {
      return missing();
    },
    write(samples) {
      const reason = missing();
      if (reason !== null) return Promise.resolve(err(reason));
      const result = turn.then(() => one(samples));
      turn = result;
      return result;
    },
    close: end,
  };
}

/**
 * What was dictated as the text of a remark: the word that began it is left off, as the grammar leaves it off.
 *
 * @example remarkText(' Remark: fork at 20 feet.') // 'fork at 20 feet'
 */
export function remarkText(written: string): string {
  const text = written
    .replace(/\[[^\]]*\]|\([^)]*\)/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
  const left = text.replace(/^(remarks?|re-?mark|make a note|take a note|note|notes)\b[\s,.:;-]*/i, '');
  return left.replace(/[\s.]+$/, '');
}
