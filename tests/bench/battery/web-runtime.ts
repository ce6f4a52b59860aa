/** The two networks of listening on the page's runtime: WebAssembly, one thread. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { join } from 'node:path';
import { places } from '../../../server/program/places.ts';
import { bands, type LogMel } from '../../../shared/sound/log-mel.ts';
import { networkActivity, type VoiceActivity } from '../../../shared/sound/voice-activity.ts';
import { type Encoded, encodedOf } from '../../../shared/sound/windows.ts';

// A module of CommonJS, whose names an import does not see.
const web: typeof import('onnxruntime-web') = createRequire(import.meta.url)('onnxruntime-web');

export type Encode = (features: LogMel) => Promise<Encoded>;

const opened = (file: string) => {
  web.env.wasm.numThreads = 1;
  return web.InferenceSession.create(new Uint8Array(readFileSync(file)), {
    executionProviders: ['wasm'],
    logSeverityLevel: 3,
  });
};

export async function webActivity(): Promise<() => VoiceActivity> {
  const session = await opened(join(places.voiceActivity, 'silero_vad.onnx'));
  return () => networkActivity(session, (values, shape) => new web.Tensor('float32', values, shape));
}

export async function webEncoder(): Promise<Encode> {
  const session = await opened(join(places.model, 'onnx', 'model_quantized.onnx'));
  return async ({ data, frames }) => {
    const input_features = new web.Tensor('float32', data, [1, bands, frames]);
    return encodedOf((await session.run({ input_features })) as never);
  };
}
