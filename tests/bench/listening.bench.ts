/**
 * Hands-free listening in virtual time: clips with quiet around them go through the listener frame by frame as a
 * microphone would bring them, and each frame's computing counts with the time it really takes. Printed: from the
 * last sound of a note to its answer, what each part took, notes cut in two or lost, talk and noise kept, memory over
 * 500 notes in a row. Clips: the evaluation voices where they are at hand, else `tests/clips`. STEMSAY_PART runs one
 * of network, energy, strangers, memory; STEMSAY_TELL names the notes that were cut or lost.
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
import { energyActivity, type VoiceActivity, voiceFrame } from '../../shared/sound/voice-activity.ts';
import { ownGraph } from '../support/own-graph.ts';
import { load, ready } from './voices/clips.ts';
import { pink, seeded, soundscapes } from './voices/noise.ts';
import { quantile } from './voices/trials.ts';

export const name = 'listening';

type Print = (name: string, value: number | string, unit: string) => void;
type Heard = Extract<Listened, { kind: 'heard' }>;

/** Seconds of quiet before and after each clip, and its loudness: a still wood. */
const before = 0.7;
const after = 1.6;
const quiet = 0.0012;

interface Played {
  readonly heard: readonly Heard[];
  readonly ignored: number;
  /** Milliseconds from the last sound to each note heard. */
  readonly delays: readonly number[];
}

/** A sound with quiet around it, and where its own last sound is, seconds. */
function staged(
  samples: Float32Array,
  random: () => number,
  quietBefore = before,
  quietAfter = after,
): { sound: Float32Array; end: number } {
  const lead = Math.round(quietBefore * sampleRate);
  const hiss = pink(lead + samples.length + Math.round(quietAfter * sampleRate), random);
  const sound = hiss.map((x) => x * quiet);
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
    const judged = withConfidence(search.finish(), samples.length / sampleRate);
    return judged.ok ? noteKey(judged.value.candidates[0]!.notes[0]) : null;
  };
  const known: { samples: Float32Array; key: string; text: string }[] = [];
  for (const { file, text } of notes) {
    const samples = load(file);
    const key = await hear(samples);
    if (key !== null) known.push({ samples, key, text });
  }
  print('clips', known.length, 'notes, each heard as a whole first');
  const part = process.env.STEMSAY_PART;
  for (const [title, voice] of [
    ['network', network],
    ['energy', energyActivity],
  ] as const)
    if (part === undefined || part === title) await printDelays(print, title, known, play, voice);
  if (part === undefined || part === 'strangers') await printStrangers(print, play, network);
  if (part === undefined || part === 'memory') await printMemory(print, known.slice(0, 40), play, network);
}

function noteClips(): { file: string; text: string }[] {
  const made = ready(() => {}).filter((clip) => ['usual', 'day', 'sampled'].includes(clip.set));
  if (made.length >= 60) return made.filter((_, i) => i % Math.ceil(made.length / 240) === 0);
  const folder = fileURLToPath(new URL('../clips/', import.meta.url));
  return readdirSync(folder)
    .filter((file) => file.endsWith('.wav'))
    .map((file) => ({ file: folder + file, text: file.slice(0, -4).replaceAll('-', ' ') }));
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
      clock: () => performance.now(),
      tell(event) {
        if (event.kind === 'ignored') ignored++;
        if (event.kind !== 'heard') return;
        heard.push(event);
        delays.push(begun + performance.now() - real - end * 1000);
      },
    });
    let free = 0;
    for (let at = 0; at + voiceFrame <= sound.length; at += voiceFrame) {
      begun = Math.max(((at + voiceFrame) / sampleRate) * 1000, free);
      real = performance.now();
      await listener.push(sound.subarray(at, at + voiceFrame));
      free = begun + performance.now() - real;
    }
    return { heard, ignored, delays };
  };
}

async function printDelays(
  print: Print,
  title: string,
  clips: readonly { samples: Float32Array; key: string; text: string }[],
  play: Play,
  voice: () => VoiceActivity,
): Promise<void> {
  const random = seeded(5);
  const whole: number[] = [];
  const parts = {
    features: [] as number[],
    encoder: [] as number[],
    search: [] as number[],
    afterEnd: [] as number[],
  };
  let cut = 0;
  let lost = 0;
  let other = 0;
  for (const { samples, key, text } of clips) {
    const { sound, end } = staged(samples, random);
    const { heard, delays } = await play(sound, end, voice());
    const wrong =
      heard.length === 0
        ? 'lost'
        : heard.length > 1
          ? 'cut'
          : noteKey(heard[0]!.candidates[0]!.notes[0]) !== key
            ? 'other'
            : null;
    if (wrong === 'lost') lost++;
    if (wrong === 'cut') cut++;
    if (wrong === 'other') other++;
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
  print(`${title}.cut_in_two`, cut, `of ${clips.length}`);
  print(`${title}.lost`, lost, `of ${clips.length}`);
  print(`${title}.other_note`, other, `of ${clips.length}`);
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
    const { sound, end } = staged(clips[i % clips.length]!.samples, random, 0.3, 0.9);
    await play(sound, end, voice());
    // The first hundred fill caches and let the runtime grow to what it needs.
    if (i === 99) first = size();
  }
  const last = size();
  print('memory.after_100', first.toFixed(0), 'MB');
  print('memory.after_500_more', last.toFixed(0), 'MB');
  print('memory.growth', ((100 * (last - first)) / first).toFixed(1), '%');
}
