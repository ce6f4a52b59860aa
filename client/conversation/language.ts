/** The language as the page uses it: the worker reads, the page itself only speaks notes for questions and answers. */
import type { ClipResult } from '../../grammar/decoding/clip-result.ts';
import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import { parseDescription, type Syntax } from '../../grammar/description/syntax.ts';
import type { Understanding } from '../../grammar/reading/understand.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import { nothingTaught, type Taught } from '../../shared/book/taught.ts';
import type { ToldBefore } from '../../shared/dialogue/told-before.ts';
import type { Tongue } from '../../shared/dialogue/types.ts';
import { ownFile } from '../device/home.ts';
import { deaf, type PageHearing, type Pcm, pcmRate } from './ear.ts';
import type { Messenger } from './messenger.ts';

export interface PageLanguage {
  readonly tongue: Tongue;
  /** What the words may mean, best first, or the sentence why they mean nothing. */
  read(words: string, before: ToldBefore): Promise<Understanding>;
  /** What the book taught; the same again costs nothing. */
  teach(taught: Taught): Promise<void>;
  /** Builds what the first spoken note would otherwise wait for. */
  warm(): void;
}

export function createPageLanguage(worker: Messenger): PageLanguage {
  let known = JSON.stringify(nothingTaught);
  worker.onRestart.push(() => {
    known = JSON.stringify(nothingTaught);
  });
  let syntax: Syntax | undefined;
  const syntaxOf = () => (syntax ??= parseDescription(grammar));
  let tongue = createTongue(grammar, syntaxOf);
  /** The same with the help, once it was asked for. */
  let helping: Tongue | null = null;
  return {
    tongue: {
      version: grammar.version,
      speak: (note) => tongue.speak(note),
      async prepare(notes) {
        if (helping !== null || !notes.some((note) => note.kind === 'ask' && note.about === 'help')) return;
        const { withHelp } = await import('../../grammar/description/rule-help.ts');
        helping = createTongue(withHelp(grammar));
      },
      hints: () => (helping ?? tongue).hints(),
      help: (topic) => (helping ?? tongue).help(topic),
    },
    read: async (words, before) =>
      (await worker.call('read', { words, before })) ?? worker.call('fetchAndRead', { words, before }),
    async teach(taught) {
      const key = JSON.stringify(taught);
      if (key === known) return;
      known = key;
      tongue = createTongue(withUserWords(grammar, taught.words));
      await worker.call('teach', taught);
    },
    // In two parts, so that a touch that comes between them waits for one.
    warm() {
      syntaxOf();
      setTimeout(() => tongue.speak({ kind: 'next' }));
    },
  };
}

/** Hears in the worker of this page. */
export class OwnHearing implements PageHearing {
  #open: Promise<string | null> | null = null;

  constructor(private readonly worker: Messenger) {
    worker.onRestart.push(() => {
      this.#open = null;
    });
  }

  /** Null when it is open, else the sentence why it is not; a failure is tried again at the next call. */
  open(): Promise<string | null> {
    this.#open ??= this.worker
      .call('listen', {
        model: ownFile('model/'),
        runtime: ownFile('runtime/'),
        voiceActivity: ownFile('voice-activity/silero_vad.onnx'),
      })
      .catch((cause: unknown) => (cause instanceof Error ? cause.message : String(cause)))
      .then(async (sentence) => {
        if (sentence === null) return null;
        this.#open = null;
        await forgetModel().catch(() => undefined);
        return `${sentence} Nothing is lost by it: try again where there is a network.`;
      });
    return this.#open;
  }

  async hear(pcm: Pcm): Promise<ClipResult> {
    const sentence = await this.open();
    if (sentence !== null) return deaf(sentence);
    try {
      return await this.worker.call(
        'hear',
        Float32Array.from(pcm, (sample) => sample / 32_768),
      );
    } catch {
      return deaf(`The ear of this page failed on ${(pcm.length / pcmRate).toFixed(1)} s.`);
    }
  }
}

/**
 * Drops the kept files of the ear after it failed to open, so that half a download is not all it ever gets; only where
 * they can be had again.
 */
async function forgetModel(): Promise<void> {
  const response = await fetch(ownFile('model/config.json'), {
    // Asked past every cache.
    method: 'HEAD',
    signal: AbortSignal.timeout(5000),
  });
  if (response.ok) await caches.delete('transformers-cache');
}
