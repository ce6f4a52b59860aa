/** The spoken reply, by the browser's own voices. While it speaks the microphone is not listened to. */

import { aloud } from '../grammar/aloud.ts';

export interface Voice {
  /** Says a sentence; what was being said stops. `rate` 1 is the usual speed. Resolves when it ends or is cut off. */
  say(sentence: string, rate: number): Promise<void>;
  hush(): void;
  readonly speaking: boolean;
}

/** Rates that browsers take, see w3.org "Web Speech API", SpeechSynthesisUtterance.rate. */
const rates = { least: 0.5, most: 2 } as const;

export function createVoice(synthesis: SpeechSynthesis | undefined = globalThis.speechSynthesis): Voice {
  if (!synthesis) return { say: async () => {}, hush() {}, speaking: false };
  return {
    get speaking() {
      return synthesis.speaking;
    },
    say(sentence, rate) {
      synthesis.cancel();
      const utterance = new SpeechSynthesisUtterance(spoken(sentence));
      utterance.lang = 'en-US';
      utterance.rate = Math.min(rates.most, Math.max(rates.least, rate));
      // Voices of a server would send the field notes away and fall silent without a network.
      const own = synthesis.getVoices().filter((voice) => voice.localService && voice.lang.startsWith('en'));
      utterance.voice = own.find((voice) => voice.default) ?? own[0] ?? null;
      return new Promise((resolve) => {
        utterance.onend = () => resolve();
        utterance.onerror = () => resolve();
        synthesis.speak(utterance);
      });
    },
    hush: () => synthesis.cancel(),
  };
}

/** What a voice is given: numbers in the words of the trade, signs that voices read badly in words. */
export function spoken(sentence: string): string {
  return aloud(sentence.replace(/\bft²/g, 'square feet')).replace(/\s+/g, ' ').trim();
}
