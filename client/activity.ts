/** Voice activity in the page: the Silero network on the web runtime that the acoustic model runs on, too. */
import * as ort from 'onnxruntime-web';
import {
  energyActivity,
  networkActivity,
  networkMemory,
  type VoiceActivity,
} from '../shared/sound/activity.ts';

/**
 * Loads the network from the bytes of its file; each call of what it gives is a voice activity of its own. Without
 * the file, or with one that the runtime does not take, it gives the energy.
 */
export async function openActivity(file: Uint8Array | null): Promise<() => VoiceActivity> {
  if (file === null) return energyActivity;
  let session: ort.InferenceSession;
  try {
    session = await ort.InferenceSession.create(file, { executionProviders: ['wasm'], logSeverityLevel: 3 });
  } catch {
    return energyActivity;
  }
  return () =>
    networkActivity(async (input, memory) => {
      const { output, stateN } = await session.run({
        input: new ort.Tensor('float32', input, [1, input.length]),
        state: new ort.Tensor('float32', memory, [2, 1, networkMemory / 2]),
      });
      return { probability: output!.data[0] as number, memory: stateN!.data as Float32Array };
    });
}
