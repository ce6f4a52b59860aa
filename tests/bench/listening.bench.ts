/**
 * Hands-free listening in virtual time: clips with quiet around them go through the listener frame by frame as a
 * microphone would bring them, and each frame's computing counts with the processor time that it takes. Printed: from the
 * last sound of a note to its answer, what each part took, notes cut in two or lost, in the noises of a wood too, with the
 * gate before the network and without it; talk and noise kept, memory over 500 notes in a row. Clips: the evaluation
 * voices where they are at hand, else `tests/clips`. STEMSAY_PART runs one of network, noise, energy, strangers, memory;
 * STEMSAY_TELL names the notes that were cut or lost.
 */
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { withConfidence } from '../../grammar/decoding/confidence.ts';
import { createNoteEndings } from '../../grammar/decoding/endpointing.ts';
import { type Listened, Listener, type ListenLanguage } from '../../grammar/decoding/listener.ts';
import { Search } from '../../grammar/decoding/search.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';
import { places } from '../../server/program/places.ts';
import { type AcousticModel, loadAcousticModel } from '../../server/speech/acoustic.ts';
import { loadActivity } from '../../server/speech/voice-activity.ts';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import { noteKey } from '../../shared/note/note-key.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import { noiseLevelOf } from '../../shared/sound/noise-level.ts';
import { behindGate } from '../../shared/sound/quiet-gate.ts';
import { energyActivity, type VoiceActivity, voiceFrame } from '../../shared/sound/voice-activity.ts';
import { ownGraph } from '../support/own-graph.ts';
import { load, ready } from './voices/clips.ts';
import { type Noise, noisy, pink, seeded, soundscapes } from './voices/noise.ts';
import { noiseOf, quantile } from './voices/trials.ts';

export const name = 'listening';

type Print = (name: string, value: number | string, unit: string) => void;
type Heard = Extract<Listened, { kind: 'heard' }>;

/** Seconds of quiet before and after each clip, and its loudness: a still wood. */
const before = 0.7;
const after = 1.6;
const quiet = 0.0012;
/** How far below the note the noises of a wood are, decibels, and how many of the clips are heard in them: every second. */
const noiseRatio = 10;
const noisyEvery = 2;

interface Played {
  readonly heard: readonly Heard[];
  readonly ignored: number;
  /** Milliseconds from the last sound to each note heard. */
  readonly delays: readonly number[];
}

/** A sound with quiet around it, or with a noise over all of it, and where its own last sound is, seconds. */
function staged(
  samples: Float32Array,
  random: () => number,
  { quietBefore = before, quietAfter = after, noise }: Staging = {},
): { sound: Float32Array; end: number } {
  const lead = Math.round(quietBefore * sampleRate);
  const hiss = pink(lead + samples.length + Math.round(quietAfter * sampleRate), random);
  const over = noise?.make(hiss.length, random);
  const power = (some: Float32Array) => some.reduce((sum, x) => sum + x * x, 0) / some.length;
  const loud = over ? Math.sqrt(power(samples) / power(over) / 10 ** (noiseRatio / 10)) : 0;
  const sound = hiss.map((x, i) => x * quiet + loud * (over?.[i] ?? 0));
  for (let i = 0; i < samples.length; i++) sound[lead + i]! += samples[i]!;
  // The last 10 ms that are louder than a hundredth of the loudest.
  const block = sampleRate / 100;
  const levels = Array.from({ length: Math.floor(samples.length / block) }, (_, b) =>
    Math.sqrt(samples.subarray(b * block, (b + 1) * block).reduce((sum, x) => sum + x * x, 0) / block),
  );
  const floor = Math.max(...levels) / 100;
  return {
    sound,
    end: quietBefore + ((levels.findLastIndex((level) => level > floor) + 1) * block) / sampleRate,
  };
}

interface Staging {
  readonly quietBefore?: number;
  readonly quietAfter?: number;
  readonly noise?: { readonly make: Noise };
}

export async function run(print: Print): Promise<void> {
  const model = await loadAcousticModel(places.model);
  const network = await loadActivity();
  const search = new Search(ownGraph());
  const language = { search, endings: createNoteEndings(keptAutomaton(grammar), grammar), wakeWord: 0 };
  const play = player(model, language);
  const notes = noteClips();
  const hear = async (samples: Float32Array) => {
    const { logp, frames } = await model.run(samples);
    search.reset();
    search.push(logp, frames);
    const judged = withConfidence(search.finish(), {
      seconds: samples.length / sampleRate,
      noise: noiseLevelOf(samples),
    });
    return judged.ok ? noteKey(judged.value.candidates[0]!.notes[0]) : null;
  };
  const known: KnownNote[] = [];
  for (const { file, text } of notes) {
    const samples = load(file);
    const key = await hear(samples);
    if (key !== null) known.push({ samples, key, text });
  }
  print('clips', known.length, 'notes, each heard as a whole first');
  const part = process.env.STEMSAY_PART;
  const gated = () => behindGate(network());
  for (const [title, voice] of [
    ['network', gated],
    ['energy', energyActivity],
  ] as const)
    if (part === undefined || part === title) await printDelays(print, known, play, { title, voice });
  if (part === undefined || part === 'noise') {
    const some = await heardInNoise(known, hear);
    await printDelays(print, some, play, { title: 'noise', voice: gated, inNoise: true });
    await printDelays(
      print,
      some.filter((_, i) => i % 3 === 0),
      play,
      { title: 'noise.without_gate', voice: network, inNoise: true },
    );
  }
  if (part === undefined || part === 'strangers') await printStrangers(print, play, gated);
  if (part === undefined || part === 'memory') await printMemory(print, known.slice(0, 40), play, gated);
}

interface KnownNote {
  readonly samples: Float32Array;
  readonly key: string;
  readonly text: string;
}

/** A noise of a wood for a clip, and what of it is heard as a whole in it: those of which it is the same note. */
async function heardInNoise(
  known: readonly KnownNote[],
  hear: (samples: Float32Array) => Promise<string | null>,
): Promise<KnownNote[]> {
  const some: KnownNote[] = [];
  for (const [i, note] of known.entries()) {
    if (i % noisyEvery !== 0) continue;
    const random = seeded(i + 1);
    if ((await hear(noisy(note.samples, noiseRatio, random, noiseOf(i)[1]))) === note.key) some.push(note);
  }
  return some;
}

function noteClips(): { file: string; text: string }[] {
  const made = ready(() => {}).filter((clip) => ['usual', 'day', 'sampled'].includes(clip.set));
  if (made.length >= 60) return made.filter((_, i) => i % Math.ceil(made.length / 240) === 0);
  const folder = fileURLToPath(new URL('../clips/', import.meta.url));
  return readdirSync(folder)
    .filter((file) => file.endsWith('.wav'))
    .map((file) => ({ file: folder + file, text: file.slice(0, -4).replaceAll('-', ' ') }));
}

/** Processor time of this program, all its threads, milliseconds: other programs of the machine do not count. */
function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

type Play = (sound: Float32Array, end: number, voice: VoiceActivity) => Promise<Played>;

/** Plays a sound through a listener of its own; time runs with the sound, computing comes on top. */
function player(model: AcousticModel, language: ListenLanguage): Play {
  return async (sound, end, voice) => {
    const heard: Heard[] = [];
    const delays: number[] = [];
    let ignored = 0;
    /** Virtual milliseconds when the frame in hand was begun, and the real ones. */
    let begun = 0;
    let real = 0;
    const listener = new Listener({
      voice,
      ear: {
        encode: (features) => model.encode(features),
        outputs: model.phones.length,
        language: () => language,
      },
      clock: processorMs,
      tell(event) {
        if (event.kind === 'ignored') ignored++;
        if (event.kind !== 'heard') return;
        heard.push(event);
        delays.push(begun + processorMs() - real - end * 1000);
      },
    });
    let free = 0;
    for (let at = 0; at + voiceFrame <= sound.length; at += voiceFrame) {
      begun = Math.max(((at + voiceFrame) / sampleRate) * 1000, free);
      real = processorMs();
      await listener.push(sound.subarray(at, at + voiceFrame));
      free = begun + processorMs() - real;
    }
    return { heard, ignored, delays };
  };
}

interface Condition {
  readonly title: string;
  readonly voice: () => VoiceActivity;
  /** The noises of a wood over everything. */
  readonly inNoise?: true;
}

async function printDelays(
  print: Print,
  clips: readonly KnownNote[],
  play: Play,
  { title, voice, inNoise }: Condition,
): Promise<void> {
  const random = seeded(5);
  const whole: number[] = [];
  const parts = {
    features: [] as number[],
    encoder: [] as number[],
    search: [] as number[],
    afterEnd: [] as number[],
  };
  const counts = { lost: 0, cut: 0, other: 0 };
  for (const [i, { samples, key, text }] of clips.entries()) {
    const { sound, end } = staged(samples, random, inNoise ? { noise: { make: noiseOf(i)[1] } } : {});
    const { heard, delays } = await play(sound, end, voice());
    const wrong = wrongOf(heard, key);
    if (wrong) counts[wrong]++;
    if (wrong && process.env.STEMSAY_TELL)
      console.error(wrong, text, '->', heard.map((one) => one.candidates[0]!.words).join(' | '));
    if (wrong) continue;
    whole.push(delays[0]!);
    for (const part of ['features', 'encoder', 'search', 'afterEnd'] as const)
      parts[part].push(heard[0]!.timings![part]);
  }
  print(`${title}.end_to_answer.p50`, quantile(whole, 0.5).toFixed(0), 'ms');
  print(`${title}.end_to_answer.p95`, quantile(whole, 0.95).toFixed(0), 'ms');
  for (const [part, values] of Object.entries(parts)) {
    print(`${title}.${part}.p50`, quantile(values, 0.5).toFixed(2), 'ms');
    print(`${title}.${part}.p95`, quantile(values, 0.95).toFixed(2), 'ms');
  }
  print(`${title}.one_note_as_heard_whole`, whole.length, `of ${clips.length}`);
  print(`${title}.cut_in_two`, counts.cut, `of ${clips.length}`);
  print(`${title}.lost`, counts.lost, `of ${clips.length}`);
  print(`${title}.other_note`, counts.other, `of ${clips.length}`);
}

/** What is wrong with what was heard of a note; null: nothing. */
function wrongOf(heard: readonly Heard[], key: string): 'lost' | 'cut' | 'other' | null {
  if (heard.length === 0) return 'lost';
  if (heard.length > 1) return 'cut';
  return noteKey(heard[0]!.candidates[0]!.notes[0]) === key ? null : 'other';
}

/** Sounds that are no notes: nothing should be heard in them. */
async function printStrangers(print: Print, play: Play, voice: () => VoiceActivity): Promise<void> {
  const random = seeded(6);
  for (const [kind, make] of Object.entries(soundscapes)) {
    const sound = make(60 * sampleRate, random);
    const { heard, ignored } = await play(sound, 0, voice());
    print(`noise.${kind}.kept`, heard.length, `in 60 s (${ignored} clips looked at)`);
  }
  const talk = ready(() => {})
    .filter((clip) => clip.set === 'talk')
    .slice(0, 150);
  let kept = 0;
  let asked = 0;
  for (const { file, text } of talk) {
    const { sound, end } = staged(load(file), random);
    for (const { candidates } of (await play(sound, end, voice())).heard) {
      const best = candidates[0]!;
      if (best.posterior >= takeFrom) kept++;
      else asked++;
      if (process.env.STEMSAY_TELL) console.error('talk', text, '->', best.words, best.posterior.toFixed(2));
    }
  }
  print('talk.kept', kept, `of ${talk.length} sentences`);
  print('talk.asked', asked, `of ${talk.length} sentences`);
}

async function printMemory(
  print: Print,
  clips: readonly { samples: Float32Array }[],
  play: Play,
  voice: () => VoiceActivity,
): Promise<void> {
  const random = seeded(7);
  const size = () => {
    globalThis.gc?.();
    return process.memoryUsage().rss / 1e6;
  };
  let first = 0;
  for (let i = 0; i < 600; i++) {
    const { sound, end } = staged(clips[i % clips.length]!.samples, random, {
      quietBefore: 0.3,
      quietAfter: 0.9,
    });
    await play(sound, end, voice());
    // The first hundred fill caches and let the runtime grow to what it needs.
    if (i === 99) first = size();
  }
  const last = size();
  print('memory.after_100', first.toFixed(0), 'MB');
  print('memory.after_500_more', last.toFixed(0), 'MB');
  print('memory.growth', ((100 * (last - first)) / first).toFixed(1), '%');
}
