/**
 * What listening without hands costs a battery: the share of one core, as processor time, that thirty seconds of a quiet wood
 * and thirty seconds beside steady talk take. `server`: the process that hears, fed as a microphone would feed it.
 * `page`: the listener on the page's runtime (WebAssembly, one thread) in this process, without the browser's own part of
 * the sound; `page.without_gate`: the same with the voice network run for every frame. Processor time hardly hangs on what
 * else the machine does. STEMSAY_PART=page leaves the server's part out.
 */
import { readFileSync } from 'node:fs';
import { createNoteEndings } from '../../grammar/decoding/endpointing.ts';
import { Listener } from '../../grammar/decoding/listener.ts';
import { Search } from '../../grammar/decoding/search.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { keptAutomaton } from '../../server/language/automaton-cache.ts';
import { createHearing, spawnWorker } from '../../server/speech/hear.ts';
import { sampleRate } from '../../shared/sound/log-mel.ts';
import { behindGate } from '../../shared/sound/quiet-gate.ts';
import { type VoiceActivity, voiceFrame } from '../../shared/sound/voice-activity.ts';
import { ownGraph } from '../support/own-graph.ts';
import type { Encode } from './battery/web-runtime.ts';
import { load, ready } from './voices/clips.ts';
import { pink, seeded } from './voices/noise.ts';

export const name = 'battery';

type Print = (name: string, value: number | string, unit: string) => void;

const seconds = 30;
/** Samples of one block from the microphone. */
const block = 1024;
/** Loudness of a still wood, and seconds between two sentences of talk. */
const still = 0.0012;
const between = 0.6;

export async function run(print: Print): Promise<void> {
  const quiet = pink(seconds * sampleRate, seeded(5)).map((x) => x * still);
  const sounds = { quiet, talk: talkOver(quiet) };
  const part = process.env.STEMSAY_PART;
  for (const [title, sound] of part === 'page' ? [] : Object.entries(sounds))
    print(`server.${title}`, (100 * (await ofServer(sound))).toFixed(1), '% of a core');
  // The web runtime takes the place of Node's where it is loaded, so no other bench may see it.
  const { webActivity, webEncoder } = await import('./battery/web-runtime.ts');
  const voice = await webActivity();
  const encode = await webEncoder();
  for (const [name, made] of [
    ['page', () => behindGate(voice())],
    ['page.without_gate', voice],
  ] as const)
    for (const [title, sound] of Object.entries(sounds))
      print(`${name}.${title}`, (100 * (await ofPage(sound, made(), encode))).toFixed(1), '% of a core');
}

/** Sentences of talk one after another. */
function talkOver(quiet: Float32Array): Float32Array {
  const sound = quiet.slice();
  let at = sampleRate / 2;
  for (const { file } of ready(() => {}).filter(({ set }) => set === 'talk')) {
    const samples = load(file);
    if (at + samples.length > sound.length) break;
    for (let i = 0; i < samples.length; i++) sound[at + i]! += samples[i]!;
    at += samples.length + between * sampleRate;
  }
  return sound;
}

/** Processor seconds for each second, of the process that hears. */
async function ofServer(sound: Float32Array): Promise<number> {
  let pid = 0;
  const hearing = createHearing({
    spawn: (model) => {
      const worker = spawnWorker(model);
      pid = worker.pid ?? 0;
      return worker;
    },
  });
  await hearing.ready;
  // Fields 14 and 15 of proc(5): user and system time in hundredths of a second.
  const used = () => {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]!.split(' ');
    return (Number(fields[11]) + Number(fields[12])) / 100;
  };
  const stream = hearing.follow({ wakeWord: null, ready() {}, tell() {}, taken() {}, lost() {} });
  const before = used();
  const began = performance.now();
  for (let at = 0; at < sound.length; at += block) {
    const due = began + (1000 * at) / sampleRate - performance.now();
    if (due > 0) await new Promise((resolve) => setTimeout(resolve, due));
    stream.push(sound.slice(at, at + block));
  }
  while (stream.waiting > 0) await new Promise((resolve) => setTimeout(resolve, 50));
  const share = (used() - before) / seconds;
  await hearing.close();
  return share;
}

async function ofPage(sound: Float32Array, voice: VoiceActivity, encode: Encode): Promise<number> {
  const language = {
    search: new Search(ownGraph()),
    endings: createNoteEndings(keptAutomaton(grammar), grammar),
    wakeWord: 0,
  };
  const listener = new Listener({
    voice,
    ear: { encode, outputs: 40, language: () => language },
    tell() {},
  });
  const before = process.cpuUsage();
  for (let at = 0; at + voiceFrame <= sound.length; at += voiceFrame)
    await listener.push(sound.subarray(at, at + voiceFrame));
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1e6 / seconds;
}
