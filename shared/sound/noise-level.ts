/**
 * How much other sound lies under the words of a clip, told from its loudness alone: speech is loud and still by turns, and
 * what is heard in its stillest parts is not speech.
 */
import { loudness, voiceFrame } from './voice-activity.ts';

/** Shares of the frames that are stiller than what is taken for the noise, and than what is taken for the speech. */
const still = 0.2;
const loud = 0.9;
/** Decibels between the two from which nothing tells the clip from a quiet one. */
const quietFrom = 18;

/** Loudness of each whole frame of a clip (16 kHz, -1 to 1), decibels of full scale. */
function frameLevels(samples: Float32Array): number[] {
  const levels: number[] = [];
  for (let at = 0; at + voiceFrame <= samples.length; at += voiceFrame)
    levels.push(loudness(samples.subarray(at, at + voiceFrame)));
  return levels;
}

/**
 * Noise of a clip from the loudness of its frames: 0 where speech stands 18 decibels or more above what lies under it, 1
 * where it does not stand out at all, or where there is no frame.
 *
 * @example noiseOfLevels([-20, -20, -20, -60, -20]) // 0
 */
export function noiseOfLevels(levels: readonly number[]): number {
  const sorted = [...levels].sort((a, b) => a - b);
  const at = (share: number) => sorted[Math.floor(share * (sorted.length - 1))] ?? 0;
  return Math.max(0, 1 - (at(loud) - at(still)) / quietFrom);
}

/** Noise of a clip, 0 to 1. */
export const noiseLevelOf = (samples: Float32Array): number => noiseOfLevels(frameLevels(samples));
