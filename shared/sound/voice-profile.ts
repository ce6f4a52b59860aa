/**
 * The profile of a voice as it is kept and handed on: how far its last layer lies from the one that the model came with,
 * in 16-bit steps, 31 kB; which layer that was; whose it is, and from how many notes. It holds no sound and no word.
 */
import type { OutputLayer } from './output-layer.ts';

const greatestStep = 32_767;

export interface VoiceProfile {
  readonly speaker: string;
  /** When it was learnt, milliseconds since 1970. */
  readonly time: number;
  /** Notes it was learnt from. */
  readonly notes: number;
  /** Fingerprint of the layer that the model came with: for another model it is worth nothing. */
  readonly base: string;
  /** One step, in the layer's own numbers. */
  readonly step: number;
  /** Differences in steps: all weights, then the bias. */
  readonly steps: Int16Array<ArrayBuffer>;
}

/** A number for all the numbers of a layer (FNV-1a, 32 bits), in hexadecimal digits. */
function fingerprintOf({ weight, bias }: OutputLayer): string {
  let hash = 0x811c9dc5;
  for (const part of [weight, bias])
    for (const byte of new Uint8Array(part.buffer, part.byteOffset, part.byteLength))
      hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}

/** A fitted layer as a profile. */
export function packVoice(
  layer: OutputLayer,
  shipped: OutputLayer,
  facts: Pick<VoiceProfile, 'speaker' | 'time' | 'notes'>,
): VoiceProfile {
  const weights = shipped.weight.length;
  const differences = Float64Array.from({ length: weights + shipped.bias.length }, (_, i) =>
    i < weights
      ? layer.weight[i]! - shipped.weight[i]!
      : layer.bias[i - weights]! - shipped.bias[i - weights]!,
  );
  const most = differences.reduce((greatest, value) => Math.max(greatest, Math.abs(value)), 0);
  const step = most === 0 ? 1 : most / greatestStep;
  return {
    ...facts,
    base: fingerprintOf(shipped),
    step,
    steps: Int16Array.from(differences, (value) => Math.round(value / step)),
  };
}

/** The layer of a profile; null where it was learnt with another model. */
export function unpackVoice({ base, step, steps }: VoiceProfile, shipped: OutputLayer): OutputLayer | null {
  const weights = shipped.weight.length;
  if (base !== fingerprintOf(shipped) || steps.length !== weights + shipped.bias.length) return null;
  return {
    weight: shipped.weight.map((value, i) => value + step * steps[i]!),
    bias: shipped.bias.map((value, i) => value + step * steps[weights + i]!),
  };
}
