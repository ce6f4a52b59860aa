/**
 * The acoustic model: 16 kHz samples to log-probabilities of 39 phones and a blank, 50 frames a second. Loaded through
 * @xenova/transformers from a local folder, never from the network. Blocks its thread while it runs, so it lives in
 * a worker (`worker.ts`).
 */
import { readFileSync } from 'node:fs';
import { basename, dirname, join, sep } from 'node:path';
import { AutoModelForCTC, env, Tensor } from '@xenova/transformers';
import { bands, type LogMel, sampleRate } from '../../shared/sound/log-mel.ts';
import { outputLayerOf } from '../../shared/sound/onnx-weights.ts';
import type { OutputLayer } from '../../shared/sound/output-layer.ts';
import {
  type Encoded,
  type EncoderOutputs,
  encodedOf,
  featuresOf,
  overWindows,
} from '../../shared/sound/windows.ts';

export interface Acoustics {
  /** Natural logarithms, one row of `phones.length` a frame. */
  readonly logp: Float32Array;
  readonly frames: number;
  readonly milliseconds: { readonly features: number; readonly encoder: number };
}

export interface AcousticModel {
  /** Names of the outputs; the first is the blank. */
  readonly phones: readonly string[];
  /** Runs the model on a clip, rest included: frame t begins at `t * frameSeconds - restSeconds` of the clip. */
  run(samples: Float32Array): Promise<Acoustics>;
  /** Runs the network alone on features that were made elsewhere, at most one window of them. */
  encode(features: LogMel): Promise<Encoded>;
  /** The last layer that the model comes with; null where its file does not tell it. */
  readonly outputLayer: OutputLayer | null;
}

/** The library's model, as far as it is looked at here. */
interface Inside {
  readonly session: { readonly handler: object };
  forward(inputs: object): Promise<EncoderOutputs>;
}

/**
 * Loads the model of a folder (config.json, preprocessor_config.json, phones.txt, onnx/model_quantized.onnx).
 * Throws an Error with a sentence for the user when a file is missing or damaged, or when the native runtime would
 * not take the model and the library fell back to its much slower web runtime.
 */
export async function loadAcousticModel(folder: string): Promise<AcousticModel> {
  env.allowRemoteModels = false;
  env.useFSCache = false;
  env.localModelPath = dirname(folder) + sep;
  let phones: string[];
  try {
    phones = readFileSync(join(folder, 'phones.txt'), 'utf8').trim().split('\n');
  } catch {
    throw new Error(`The speech model is missing: expected phones.txt in ${folder}.`);
  }
  let model: Inside;
  // The library warns at length before it falls back to its web runtime; below, that is an error of one sentence.
  const { warn } = console;
  console.warn = () => {};
  try {
    model = (await AutoModelForCTC.from_pretrained(basename(folder), {
      quantized: true,
      local_files_only: true,
    })) as Inside;
  } catch (problem) {
    throw new Error(`The speech model in ${folder} is missing or damaged: ${sentence(problem)}`);
  } finally {
    console.warn = warn;
  }
  const backend = model.session.handler.constructor.name;
  if (backend !== 'OnnxruntimeSessionHandler') {
    throw new Error(
      `The speech model would run on the slow web runtime (${backend}), not on onnxruntime-node.`,
    );
  }
  async function run(samples: Float32Array): Promise<Acoustics> {
    const start = performance.now();
    const features = featuresOf(samples);
    const middle = performance.now();
    const { logp, frames } = await overWindows(features, phones.length, (window) => call(model, window));
    const milliseconds = { features: middle - start, encoder: performance.now() - middle };
    return { logp, frames, milliseconds };
  }

  // The first run plans the session's memory; doing it now keeps the first note fast and tries the file's contents.
  const trial = await run(new Float32Array(sampleRate));
  let total = 0;
  for (let i = 0; i < phones.length; i++) total += Math.exp(trial.logp[i]!);
  if (!(Math.abs(total - 1) < 1e-3)) {
    throw new Error(`The speech model in ${folder} is damaged: its probabilities sum to ${total}.`);
  }
  return {
    phones,
    run,
    encode: (features) => call(model, features),
    outputLayer: outputLayerOf(readFileSync(join(folder, 'onnx', 'model_quantized.onnx'))),
  };
}

async function call(model: Inside, features: LogMel): Promise<Encoded> {
  const input = new Tensor('float32', features.data, [1, bands, features.frames]);
  return encodedOf(await model.forward({ input_features: input }));
}

function sentence(problem: unknown): string {
  const message = problem instanceof Error ? problem.message : String(problem);
  return message.split('\n')[0]!;
}
