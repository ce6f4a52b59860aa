/** Voice activity on the server: the Silero network through the runtime that also runs the acoustic model. */
import { join } from 'node:path';
import ort from 'onnxruntime-node';
import { energyActivity, networkActivity, type VoiceActivity } from '../../shared/sound/voice-activity.ts';
import { places } from '../program/places.ts';

const activityModel = join(places.voiceActivity, 'silero_vad.onnx');

/**
 * Loads the network; each call of what it gives is a voice activity of its own. Where the file is missing or damaged
 * it gives the energy instead and tells why.
 */
export async function loadActivity(
  file = activityModel,
  onTrouble: (sentence: string) => void = () => {},
): Promise<() => VoiceActivity> {
  let session: ort.InferenceSession;
  try {
    session = await ort.InferenceSession.create(file, {
      logSeverityLevel: 3,
      intraOpNumThreads: 1,
      interOpNumThreads: 1,
    });
  } catch (cause) {
    const why = cause instanceof Error ? cause.message.split('\n')[0] : String(cause);
    onTrouble(
      `The network that tells voices from noise is missing or damaged (${why}): loudness decides instead.`,
    );
    return energyActivity;
  }
  return () => networkActivity(session, (values, shape) => new ort.Tensor('float32', values, shape));
}
