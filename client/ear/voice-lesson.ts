/** Learning a voice in the page's worker, with the ear that is open there. Fetched when a voice is learnt or known. */
import type { Recognizer } from '../../grammar/decoding/recognizer.ts';
import { learnFrom, type VoiceLearnt, type VoiceMaterial } from '../../grammar/learning/voice-lesson.ts';
import { outputLayerOf } from '../../shared/sound/onnx-weights.ts';
import type { OutputLayer } from '../../shared/sound/output-layer.ts';
import { unpackVoice, type VoiceProfile } from '../../shared/sound/voice-profile.ts';
import type { EarFiles } from '../conversation/ear.ts';
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
export const learnInPage = async (
  ear: Recognizer,
  material: VoiceMaterial,
  files: EarFiles,
): Promise<VoiceLearnt | string> =>
  learnFrom(ear, material, {
    shipped: await shippedLayer(files),
    // Messages of the page come in between.
    breathe: () => new Promise((resolve) => setTimeout(resolve)),
    clock: () => performance.now(),
  });
