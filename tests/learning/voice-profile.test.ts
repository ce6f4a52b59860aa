import fc from 'fast-check';
import { expect, test } from 'vitest';
import { seeded } from '../../shared/core/random.ts';
import { layerOutputs, type OutputLayer } from '../../shared/sound/output-layer.ts';
import { packVoice, unpackVoice } from '../../shared/sound/voice-profile.ts';
import { voiceFromJson, voiceToJson } from '../../shared/sound/voice-profile-file.ts';

const layerOf = (seed: number, scale = 1): OutputLayer => {
  const random = seeded(seed);
  return {
    weight: Float32Array.from({ length: 384 * layerOutputs }, () => scale * (random() - 0.5)),
    bias: Float32Array.from({ length: layerOutputs }, () => scale * (random() - 0.5)),
  };
};
const shipped = layerOf(1);
const change = layerOf(2, 0.1);
const fitted: OutputLayer = {
  weight: shipped.weight.map((value, i) => value + change.weight[i]!),
  bias: shipped.bias.map((value, i) => value + change.bias[i]!),
};
const facts = { speaker: 'ada', time: 1_700_000_000_000, notes: 30 };

test('a profile gives its layer again within a step, and holds 31 kilobytes', () => {
  const profile = packVoice(fitted, shipped, facts);
  expect(profile.steps.byteLength).toBe(2 * (384 * layerOutputs + layerOutputs));
  const again = unpackVoice(profile, shipped)!;
  for (let i = 0; i < fitted.weight.length; i++)
    expect(Math.abs(again.weight[i]! - fitted.weight[i]!)).toBeLessThan(1.01 * profile.step);
  for (let k = 0; k < layerOutputs; k++)
    expect(Math.abs(again.bias[k]! - fitted.bias[k]!)).toBeLessThan(1.01 * profile.step);
});

test('for another model it is worth nothing', () => {
  expect(unpackVoice(packVoice(fitted, shipped, facts), layerOf(3))).toBeNull();
});

test('the same layer is a profile, too', () => {
  expect(unpackVoice(packVoice(shipped, shipped, facts), shipped)).toEqual(shipped);
});

test('saved and brought in it is the same, and any other file is refused with a sentence', () => {
  const profile = packVoice(fitted, shipped, facts);
  expect(voiceFromJson(voiceToJson(profile))).toEqual({ ok: true, value: profile });
  const whole = voiceToJson(profile);
  fc.assert(
    fc.property(
      fc.oneof(
        fc.string(),
        fc.json(),
        fc.nat(whole.length - 2).map((at) => whole.slice(0, at)),
      ),
      (text) => {
        const read = voiceFromJson(text);
        expect(read.ok).toBe(false);
        if (!read.ok) expect(read.error).toMatch(/^That file is no profile of a voice\. Expected /);
      },
    ),
  );
});
