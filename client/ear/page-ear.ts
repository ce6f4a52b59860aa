/**
 * The recognizer in the page: the same acoustic model, search and confidence as on the server, on the web runtime of
 * @xenova/transformers. Everything it loads comes from this page's own address and stays in the browser's cache.
 */
import { AutoModelForCTC, env, Tensor } from '@xenova/transformers';
import { Recognizer } from '../../grammar/decoding/recognizer.ts';
import { bands, type LogMel } from '../../shared/sound/log-mel.ts';
import { encodedOf } from '../../shared/sound/windows.ts';
import type { EarFiles } from '../conversation/ear.ts';
import { openActivity } from './voice-activity.ts';

export async function openEar(where: EarFiles): Promise<Recognizer> {
  const folder = new URL(where.model).pathname.replace(/\/$/, '');
  env.allowRemoteModels = false;
  env.allowLocalModels = true;
  env.localModelPath = folder.slice(0, folder.lastIndexOf('/') + 1);
  env.useBrowserCache = true;
  // Threads need isolation from other pages; one is fast enough for three seconds of sound.
  env.backends.onnx.wasm.numThreads = 1;
  env.backends.onnx.wasm.wasmPaths = where.runtime;
  const phones = (await (await cached(`${folder}/phones.txt`)).text()).trim().split('\n');
  const model = await AutoModelForCTC.from_pretrained(folder.slice(folder.lastIndexOf('/') + 1), {
    quantized: true,
  });
  // With the rest of the ear, so that it is there without a network, too.
  const voiceActivity = await openActivity(await cached(where.voiceActivity).then(bytes, () => null));
  const encode = async (window: LogMel) => {
    const input = new Tensor('float32', window.data, [1, bands, window.frames]);
    return encodedOf(await model.forward({ input_features: input }));
  };
  return new Recognizer({ encode, phones, voiceActivity, clock: () => performance.now() });
}

/** A small file from this address, or as it was when there was a network. */
export async function cached(address: string): Promise<Response> {
  const cache = await caches.open('transformers-cache');
  const known = await cache.match(address);
  if (known) return known;
  const response = await fetch(address);
  if (!response.ok) throw new Error(`the model is missing (${address})`);
  await cache.put(address, response.clone());
  return response;
}

const bytes = async (response: Response): Promise<Uint8Array> => new Uint8Array(await response.arrayBuffer());
