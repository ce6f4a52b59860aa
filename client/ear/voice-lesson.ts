/** Learning a voice in the page's worker, with the ear that is open there. Fetched when a voice is learnt or known. */
import type { Recognizer } from '../../grammar/decoding/recognizer.ts';
import { learnVoice } from '../../grammar/learning/learn-voice.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';
import { outputLayerOf } from '../../shared/sound/onnx-weights.ts';
import type { OutputLayer } from '../../shared/sound/output-layer.ts';
import { packVoice, unpackVoice, type VoiceProfile } from '../../shared/sound/voice-profile.ts';
import type { EarFiles } from '../conversation/ear.ts';
import type { VoiceLearnt, VoiceMaterial } from '../conversation/messenger.ts';
import { cached } from './page-ear.ts';

let shipped: Promise<OutputLayer | null> | undefined;

/** The last layer that the model came with: the model is in the browser's cache, where the ear is open. */
function shippedLayer({ model }: EarFiles): Promise<OutputLayer | null> {
  const folder = new URL(model).pathname.replace(/\/$/, '');
  shipped ??= cached(`${folder}/onnx/model_quantized.onnx`)
    .then(async (file) => outputLayerOf(new Uint8Array(await file.arrayBuffer())))
    .catch(() => {
      shipped = undefined;
      return null;
    });
  return shipped;
}

/** The layer of a profile; null where it was learnt with another model. */
export async function layerOf(profile: VoiceProfile, files: EarFiles): Promise<OutputLayer | null> {
  const base = await shippedLayer(files);
  return base === null ? null : unpackVoice(profile, base);
}

/** Learns, and hears what comes in meanwhile. */
export async function learnInPage(
  ear: Recognizer,
  { clips, speaker, time }: VoiceMaterial,
  files: EarFiles,
): Promise<VoiceLearnt | string> {
  const base = await shippedLayer(files);
  const automaton = ear.language?.automaton;
  if (base === null || automaton === undefined) return 'This ear cannot learn a voice.';
  const began = performance.now();
  const lesson = await learnVoice(
    {
      hidden: (samples) => ear.hidden(samples),
      judge: (logp, frames, seconds) => ear.judge(logp, frames, seconds),
      shipped: base,
      lexicon: createLexicon(),
      reader: createReader(automaton),
      keptFrom: takeHeardFrom,
      // Messages of the page come in between.
      breathe: () => new Promise((resolve) => setTimeout(resolve)),
    },
    clips.map(({ words, pcm }) => ({
      words,
      samples: Float32Array.from(pcm, (sample) => sample / 32_768),
    })),
  );
  const { layer, clips: notes, heldOut, before, after } = lesson;
  const profile = layer === null ? null : packVoice(layer, base, { speaker, time, notes });
  return { profile, clips: notes, heldOut, before, after, seconds: (performance.now() - began) / 1000 };
}
