/**
 * A gate before the network that tells voices: while it is quiet the network need not run. Loudness against the quiet of the
 * place opens the gate, and what came just before is then given to the network first, so that it knows how the sound began.
 * The gate only ever says "nobody" by itself; whether somebody speaks the network says.
 */
import { type VoiceActivity, voiceFrameSeconds } from './voice-activity.ts';

const frames = (seconds: number): number => Math.round(seconds / voiceFrameSeconds);

/** Levels in decibels, times in frames. Chosen on notes in noise at 0 dB: see `npm run bench -- battery`. */
export const gateLimits = {
  /** Over the quietest frame of so long ago a sound may be a voice. */
  quietFor: frames(1.6),
  opensAt: 4,
  /** A fainter frame is no voice: decibels of full scale, without the low rumble of wind. */
  faintest: -72,
  /** What the network is given of before the gate opened. */
  before: frames(0.32),
  /** Open for so long after the last frame that was loud, or in which the network took a voice for this likely. */
  staysFor: frames(0.8),
  likely: 0.2,
} as const;

/** The network behind the gate. */
export function behindGate(network: VoiceActivity): VoiceActivity {
  let last = 0;
  let levels: number[] = [];
  let before: Float32Array[] = [];
  /** Frames for which the gate stays open; 0 is shut. */
  let open = 0;
  const levelOf = (frame: Float32Array): number => {
    let energy = 0;
    for (const sample of frame) {
      const change = sample - 0.95 * last;
      energy += change * change;
      last = sample;
    }
    return 10 * Math.log10(energy / frame.length + 1e-12);
  };
  return {
    kind: network.kind,
    async probability(frame) {
      const level = levelOf(frame);
      const quiet = Math.min(...levels, level);
      levels.push(level);
      if (levels.length > gateLimits.quietFor) levels.shift();
      const isLoud = level >= gateLimits.faintest && level >= quiet + gateLimits.opensAt;
      if (open === 0 && !isLoud) {
        before.push(frame.slice());
        if (before.length > gateLimits.before) before.shift();
        return 0;
      }
      if (open === 0) {
        network.reset();
        for (const earlier of before) await network.probability(earlier);
        before = [];
      }
      const voice = await network.probability(frame);
      open = isLoud || voice >= gateLimits.likely ? gateLimits.staysFor : open - 1;
      return voice;
    },
    reset() {
      network.reset();
      last = 0;
      levels = [];
      before = [];
      open = 0;
    },
  };
}
