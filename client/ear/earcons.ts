/** Short sounds and buzzes that tell how a note was taken, for ears in wind and for thumbs in gloves. */
import type { Answer } from '../../shared/dialogue/types.ts';
import type { Preferences } from '../device/preferences.ts';

/** How a note was taken, or that listening without a button began or ended. */
export type Earcon = Answer['state'] | 'listening' | 'deaf';

export interface Earcons {
  play(earcon: Earcon): void;
}

/** Tones one after another: Hz and seconds. Kept: one step up; a question: up and open; refused: down; listening: one soft tone. */
const tunes: Readonly<Record<Earcon, readonly (readonly [number, number])[]>> = {
  kept: [
    [660, 0.06],
    [880, 0.08],
  ],
  asking: [
    [740, 0.08],
    [740, 0.08],
    [990, 0.14],
  ],
  refused: [
    [330, 0.12],
    [247, 0.16],
  ],
  listening: [[520, 0.16]],
  deaf: [
    [520, 0.08],
    [390, 0.12],
  ],
};
/** Quiet against a voice, loud enough for the open air. */
const loudness = 0.12;

export function createEarcons(): Earcons {
  let context: AudioContext | undefined;
  return {
    play(earcon) {
      if (typeof AudioContext === 'undefined') return;
      context ??= new AudioContext();
      void context.resume();
      let at = context.currentTime + 0.01;
      for (const [hertz, seconds] of tunes[earcon]) {
        const tone = new OscillatorNode(context, { type: 'triangle', frequency: hertz });
        const gain = new GainNode(context, { gain: 0 });
        gain.gain.setValueAtTime(0, at);
        gain.gain.linearRampToValueAtTime(loudness, at + 0.01);
        gain.gain.setValueAtTime(loudness, at + seconds - 0.02);
        gain.gain.linearRampToValueAtTime(0, at + seconds);
        tone.connect(gain).connect(context.destination);
        tone.start(at);
        tone.stop(at + seconds);
        at += seconds + 0.02;
      }
    },
  };
}

/** Vibration, milliseconds on and off. */
const buzzes: Readonly<Record<Answer['state'] | 'press', number | number[]>> = {
  press: 15,
  kept: 40,
  asking: [60, 80, 60],
  refused: [200],
};

export function buzz(prefs: Preferences, what: keyof typeof buzzes): void {
  if (prefs.buzz && 'vibrate' in navigator) navigator.vibrate(buzzes[what]);
}
