/** The spoken reply, by the browser's own voices or the server's. While it speaks the microphone is not listened to. */

import { aloud } from '../../grammar/writing/aloud.ts';
import { endpoints, wireLimits } from '../../shared/wire.ts';
import { askServer } from '../device/home.ts';

export interface Voice {
  /** Says a sentence; what was being said stops. `rate` 1 is the usual speed. Resolves when it ends or is cut off. */
  say(sentence: string, rate: number): Promise<void>;
  hush(): void;
  readonly speaking: boolean;
}

/** Rates that browsers take, see w3.org "Web Speech API", SpeechSynthesisUtterance.rate. */
const rates = { least: 0.5, most: 2 } as const;

/** Milliseconds that a browser may take to name its voices. */
const namingMs = 400;

/**
 * The voice of this page: one of the browser's own, else the server's, else whatever the browser speaks with without
 * naming it, else none. A voice of somebody else's server is never used: it would send the field notes away.
 */
export function createVoice(
  synthesis: SpeechSynthesis | undefined = globalThis.speechSynthesis,
  fetcher: typeof fetch = askServer,
  player: (wav: Blob) => Playing = play,
): Voice {
  const named = synthesis ? voicesOf(synthesis) : Promise.resolve([]);
  let playing: Playing | null = null;
  let turn = 0;
  const hush = () => {
    turn++;
    playing?.stop();
    playing = null;
    synthesis?.cancel();
  };
  return {
    get speaking() {
      return playing !== null || (synthesis?.speaking ?? false);
    },
    hush,
    async say(sentence, rate) {
      hush();
      const mine = turn;
      const speed = Math.min(rates.most, Math.max(rates.least, rate));
      const own = await named;
      if (mine !== turn) return;
      if (synthesis !== undefined && own.length > 0)
        return utter(synthesis, sentence, speed, own.find((voice) => voice.default) ?? own[0]!);
      const wav = await fromServer(fetcher, sentence, speed);
      if (mine !== turn) return;
      if (wav !== null) {
        playing = player(wav);
        await playing.ended;
        if (mine === turn) playing = null;
      } else if (synthesis && synthesis.getVoices().length === 0)
        await utter(synthesis, sentence, speed, null);
    },
  };
}

/** The browser's English voices that speak on this device; some browsers name them only after a moment. */
async function voicesOf(synthesis: SpeechSynthesis): Promise<SpeechSynthesisVoice[]> {
  if (synthesis.getVoices().length === 0)
    await new Promise<void>((resolve) => {
      synthesis.addEventListener?.('voiceschanged', () => resolve(), { once: true });
      setTimeout(resolve, namingMs);
    });
  return synthesis.getVoices().filter((voice) => voice.localService && voice.lang.startsWith('en'));
}

function utter(
  synthesis: SpeechSynthesis,
  sentence: string,
  rate: number,
  voice: SpeechSynthesisVoice | null,
): Promise<void> {
  const utterance = new SpeechSynthesisUtterance(aloud(sentence));
  utterance.lang = 'en-US';
  utterance.rate = rate;
  utterance.voice = voice;
  return new Promise((resolve) => {
    utterance.onend = () => resolve();
    utterance.onerror = () => resolve();
    synthesis.speak(utterance);
  });
}

/** The sentence in the server's voice; null when the server is away or has none. */
async function fromServer(fetcher: typeof fetch, say: string, rate: number): Promise<Blob | null> {
  try {
    const query = new URLSearchParams({ say: say.slice(0, wireLimits.words), rate: rate.toFixed(2) });
    const response = await fetcher(`${endpoints.voice.path}?${query}`, { signal: AbortSignal.timeout(5000) });
    return response.ok ? await response.blob() : null;
  } catch {
    return null;
  }
}

/** A sound that is being played. */
export interface Playing {
  readonly ended: Promise<void>;
  stop(): void;
}

function play(wav: Blob): Playing {
  const address = URL.createObjectURL(wav);
  const audio = new Audio(address);
  let end: () => void = () => {};
  const ended = new Promise<void>((resolve) => {
    end = () => {
      URL.revokeObjectURL(address);
      resolve();
    };
  });
  audio.onended = audio.onerror = () => end();
  audio.play().catch(() => end());
  return {
    ended,
    stop() {
      audio.pause();
      end();
    },
  };
}
