/**
 * One clip to what it may mean: acoustic model, then search of the grammar. Runs where it is called and blocks
 * there; servers go through `hear.ts`.
 */
import { err, type Result } from '../../shared/result.ts';
import { sampleRate } from '../../shared/sound/logmel.ts';
import { longest } from '../audio.ts';
import { freePhones, loadAcousticModel } from './acoustic.ts';
import type { Heard, Refusal } from './heard.ts';

export interface Recogniser {
  /** Samples: 16 kHz, mono, -1 to 1. */
  recognise(samples: Float32Array): Promise<Result<Heard, Refusal>>;
}

/** Loads the acoustic model of a folder. Throws an Error with a sentence for the user when it cannot. */
export async function loadRecogniser(folder: string): Promise<Recogniser> {
  const model = await loadAcousticModel(folder);
  return {
    async recognise(samples) {
      const seconds = samples.length / sampleRate;
      if (seconds > longest - 1) {
        return err({
          kind: 'tooLong',
          message: '',
          phones: '',
          timings: { features: 0, encoder: 0, search: 0 },
        });
      }
      const acoustics = await model.run(samples);
      const phones = freePhones(acoustics, model.phones).join(' ');
      const timings = { ...acoustics.milliseconds, search: 0 };
      return err({ kind: 'nothing', message: 'Nothing was said.', phones, timings });
    },
  };
}
