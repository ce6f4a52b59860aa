/** A lesson of one voice with the ear that is open, in page and server alike: from clips of notes that stood to a profile. */
import { takeHeardFrom } from '../../shared/dialogue/choosing.ts';
import type { OutputLayer } from '../../shared/sound/output-layer.ts';
import { packVoice, type VoiceProfile } from '../../shared/sound/voice-profile.ts';
import { nobodyKnown, type Recognizer } from '../decoding/recognizer.ts';
import { createLexicon } from '../pronunciation/lexicon.ts';
import { createReader } from '../reading/exact.ts';
import { learnVoice, type VoiceLesson } from './learn-voice.ts';

/** Clips of one speaker with their words: 16 kHz, signed 16 bits, mono. */
export interface VoiceMaterial {
  readonly clips: readonly { readonly words: string; readonly pcm: Int16Array }[];
  readonly speaker: string;
  /** When it is learnt, milliseconds since 1970. */
  readonly time: number;
}

export interface VoiceLearnt extends Omit<VoiceLesson, 'layer'> {
  /** Null: the speaker is heard no better for it. */
  readonly profile: VoiceProfile | null;
  readonly seconds: number;
}

interface LessonParts {
  /** The last layer that the model came with. */
  readonly shipped: OutputLayer | null;
  /** Lets others do something in between. */
  readonly breathe: () => Promise<void>;
  /** Milliseconds. */
  readonly clock: () => number;
}

/** Learns, and hears what comes in meanwhile. The sentence where it cannot. */
export async function learnFrom(
  ear: Recognizer,
  { clips, speaker, time }: VoiceMaterial,
  { shipped, breathe, clock }: LessonParts,
): Promise<VoiceLearnt | string> {
  const automaton = ear.language?.automaton;
  if (shipped === null || automaton === undefined) return 'This ear cannot learn a voice.';
  const began = clock();
  const { layer, ...lesson } = await learnVoice(
    {
      hidden: (samples) => ear.hidden(samples),
      judge: (logp, frames, facts) => ear.judge(logp, frames, facts),
      // What the clips say is in the person's language already, which would believe any layer.
      asAnybody: (work) => ear.as(nobodyKnown, work),
      shipped,
      lexicon: createLexicon(),
      reader: createReader(automaton),
      keptFrom: takeHeardFrom,
      breathe,
    },
    clips.map(({ words, pcm }) => ({
      words,
      samples: Float32Array.from(pcm, (sample) => sample / 32_768),
    })),
  );
  const profile = layer === null ? null : packVoice(layer, shipped, { speaker, time, notes: lesson.clips });
  return { ...lesson, profile, seconds: (clock() - began) / 1000 };
}
