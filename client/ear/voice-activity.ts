/** Voice activity in the page: the Silero network on the web runtime that the acoustic model runs on, too. */
import * as ort from 'onnxruntime-web';
import { energyActivity, networkActivity, type VoiceActivity } from '../../shared/sound/voice-activity.ts';

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
  return () => networkActivity(session, (values, shape) => new ort.Tensor('float32', values, shape));
}
