/**
 * The server's own voice, for a browser that has none: sentences to WAV by flite, in a process that is started for
 * the first sentence and ended when nobody asked for a while.
 */

import type { ChildProcess } from 'node:child_process';
import { aloud } from '../../grammar/writing/aloud.ts';
import { err, ok, type Result } from '../../shared/core/result.ts';
import { startProcess } from '../program/processes.ts';
import type { SaidMessage, SayMessage } from './messages.ts';

export interface ServerVoice {
  /**
   * A sentence as a WAV file, 16 kHz mono. `rate` 1 is the usual speed. Numbers are said as a person says them.
   */
  say(sentence: string, rate: number): Promise<Result<Uint8Array<ArrayBuffer>, string>>;
  close(): Promise<void>;
}

/** Sentences that may wait. */
const mostWaiting = 6;
/** Milliseconds without a sentence after which the process and its memory are let go. */
const idleMs = 60_000;
/** Milliseconds that a sentence may take; a long one takes a quarter second. */
const patienceMs = 10_000;

const startChild = (): ChildProcess => startProcess('voice');

/** Makes the voice; nothing is loaded before the first sentence. */
export function createServerVoice(start: () => ChildProcess = startChild): ServerVoice {
  let child: ChildProcess | null = null;
  let id = 0;
  let rest: NodeJS.Timeout | undefined;
  const waiting = new Map<number, (result: Result<Uint8Array<ArrayBuffer>, string>) => void>();

  const end = (why: string) => {
    const ending = child;
    child = null;
    clearTimeout(rest);
    for (const done of waiting.values()) done(err(`The server has no voice just now: ${why}.`));
    waiting.clear();
    if (!ending) return;
    // It ends by itself and takes its files with it, unless it hangs.
    if (ending.connected) ending.disconnect();
    setTimeout(() => ending.kill('SIGKILL'), 1000).unref();
  };
  const begin = (): ChildProcess => {
    const made = start();
    made.on('message', ({ id: said, wav, why }: SaidMessage) => {
      waiting.get(said)?.(wav ? ok(Uint8Array.from(wav)) : err(`The server could not say it: ${why}.`));
      waiting.delete(said);
    });
    made.on('error', (problem) => {
      if (child === made) end(problem.message);
    });
    made.on('exit', () => {
      if (child === made) end('its process ended');
    });
    return made;
  };

  return {
    say(sentence, rate) {
      if (waiting.size >= mostWaiting)
        return Promise.resolve(err('Too many sentences at once: wait for the first.'));
      child ??= begin();
      const speaker = child;
      clearTimeout(rest);
      rest = setTimeout(() => end('nobody asked'), idleMs);
      rest.unref();
      const mine = ++id;
      const late = setTimeout(() => {
        if (waiting.has(mine)) end('a sentence took too long');
      }, patienceMs);
      return new Promise((resolve) => {
        waiting.set(mine, (result) => {
          clearTimeout(late);
          resolve(result);
        });
        speaker.send({ id: mine, words: spokenBy(sentence), rate } satisfies SayMessage);
      });
    },
    async close() {
      end('it was closed');
    },
  };
}

/** Words for the voice: numbers and signs in words, nothing that it would spell out. */
function spokenBy(sentence: string): string {
  return aloud(sentence.replace(/["“”]/g, ''))
    .replace(/[^\x20-\x7e]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim();
}
