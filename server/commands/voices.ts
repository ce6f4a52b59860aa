/** `stemsay voice`: what is known here of how people sound; learnt, taken along and forgotten by who asks for it. */

import { lessonLimits } from '../../grammar/learning/lesson-limits.ts';
import type { VoiceLearnt } from '../../grammar/learning/voice-lesson.ts';
import { learnable, saidBy } from '../../shared/book/said.ts';
import { voiceFromJson, voiceToJson } from '../../shared/sound/voice-profile-file.ts';
import type { Desk } from '../desk/desk.ts';
import { type KnownVoice, Voices } from '../desk/voices.ts';
import { readWav } from '../speech/audio.ts';
import { learnVoiceElsewhere } from '../speech/lesson.ts';
import {
  bookNamed,
  fileText,
  openDesk,
  RefusedError,
  saveFile,
  type Terminal,
  UsageError,
  type Values,
} from './terminal.ts';

interface Asked {
  /** Who is meant; empty: whoever speaks at this book. */
  readonly name: string;
  readonly voices: Voices;
  readonly values: Values;
  readonly terminal: Terminal;
}

/** What may be asked for, and the sentence or the list that answers it. */
const verbs: Readonly<Record<string, (asked: Asked) => string | Promise<string>>> = {
  learn,
  save: async ({ name, voices, values }) => {
    const { out } = values;
    if (out === undefined) throw new UsageError('"stemsay voice save" needs --out FILE.');
    const known = theKnown(voices, name);
    if (known.voice === null) throw new RefusedError(`${known.speaker} has no voice to save.`);
    await saveFile(out, voiceToJson(known.voice));
    return `Saved in ${out}.`;
  },
  bring: async ({ name, voices, values, terminal }) => {
    const { from } = values;
    if (from === undefined) throw new UsageError('"stemsay voice bring" needs --from FILE.');
    const read = voiceFromJson(await fileText(from));
    if (!read.ok) throw new RefusedError(read.error);
    const speaker = name === '' ? await withDesk({ name, values, terminal }, (desk) => desk.speaker) : name;
    voices.keep({ speaker, voice: { ...read.value, speaker } });
    return `${speaker} is heard with that voice from now on.`;
  },
  forget: ({ name, voices }) => {
    const { speaker } = theKnown(voices, name);
    voices.forget(speaker);
    return `Forgotten: ${speaker} is heard as anybody is.`;
  },
};

/** Lists who is known; with a verb does what it says. */
export async function voice(rest: readonly string[], values: Values, terminal: Terminal): Promise<number> {
  const voices = new Voices(bookNamed(values, 'voice'));
  const [verb, ...names] = rest;
  if (verb === undefined) {
    const all = voices.all();
    terminal.stdout.write(values.json ? `${JSON.stringify(all.map(factsOf))}\n` : listed(all));
    return 0;
  }
  const does = Object.hasOwn(verbs, verb) ? verbs[verb] : undefined;
  if (does === undefined)
    throw new UsageError(
      `Expected "stemsay voice" with ${Object.keys(verbs).join(', ')} or nothing, found "${verb}".`,
    );
  const sentence = await does({ name: names.join(' '), voices, values, terminal });
  terminal.stdout.write(`${sentence}\n`);
  return 0;
}

async function learn({ name, voices, values, terminal }: Asked): Promise<string> {
  const { material, taught } = await withDesk({ name, values, terminal }, async (desk) => {
    const speaker = name === '' ? desk.speaker : name;
    const clips = await clipsOf(desk, speaker);
    return { material: { clips, speaker, time: terminal.now() }, taught: desk.session.book.taught };
  });
  const { speaker, clips } = material;
  if (clips.length < lessonLimits.least)
    throw new RefusedError(
      `${clips.length} notes of ${speaker} with their sound are too few: at least ${lessonLimits.least} are needed. Nothing is learnt.`,
    );
  const lesson = await learnVoiceElsewhere(material, taught);
  if (!lesson.ok) throw new RefusedError(lesson.error);
  // A lesson that gave nothing better leaves what an earlier one gave, which was judged in its turn.
  const profile = lesson.value.profile ?? voices.of(speaker)?.voice ?? null;
  voices.keep({ speaker, voice: profile });
  return lessonSentence(speaker, lesson.value);
}

/** The sounds of notes that stood, the oldest first. */
async function clipsOf(desk: Desk, speaker: string): Promise<{ words: string; pcm: Int16Array }[]> {
  const { book } = desk.session;
  const clips: { words: string; pcm: Int16Array }[] = [];
  // With a word before every note the sound holds more than the words.
  if (book.settingsOf(desk.store.device).wakeWord) return clips;
  for (const { words, clip } of learnable(saidBy(book, speaker))) {
    const wav = await desk.store.clip(clip);
    const sound = wav === null ? null : readWav(wav);
    if (sound?.ok)
      clips.unshift({ words, pcm: Int16Array.from(sound.value.samples, (sample) => 32_767 * sample) });
    if (clips.length === lessonLimits.most) break;
  }
  return clips;
}

function lessonSentence(speaker: string, { profile, clips, before, after, seconds }: VoiceLearnt): string {
  const took = `${clips} notes, ${seconds.toFixed(0)} seconds.`;
  if (profile === null)
    return `${speaker} is heard no better for it, so only the words of ${speaker} are expected from now on. ${took}`;
  const kept = ({ clean, noise }: VoiceLearnt['before']) => clean.kept + noise.kept;
  return `Learnt. Of ${3 * clips} tries with notes held out, in noise too, ${kept(after)} are kept without a question; before, ${kept(before)}. ${took}`;
}

const factsOf = ({ speaker, voice: known }: KnownVoice) => ({
  speaker,
  notes: known?.notes ?? null,
  time: known?.time ?? null,
});

function listed(all: readonly KnownVoice[]): string {
  if (all.length === 0) return 'Nobody is known here: everybody is heard as anybody.\n';
  const lines = all.map(({ speaker, voice: known }) =>
    known === null
      ? `${speaker}: the words`
      : `${speaker}: the words, and the voice, learnt from ${known.notes} notes`,
  );
  return `${lines.join('\n')}\n`;
}

/** @throws RefusedError where nobody of that name is known; without a name, where there is not just one */
function theKnown(voices: Voices, name: string): KnownVoice {
  const all = voices.all();
  const one = name === '' && all.length === 1 ? all[0] : voices.of(name);
  if (one == null)
    throw new RefusedError(
      name === '' && all.length > 1
        ? `Whose? There are: ${all.map(({ speaker }) => speaker).join(', ')}.`
        : 'Nothing is known here of that person.',
    );
  return one;
}

/** Who speaks at a book is known to who may write in it; a reader has a name of its own. */
async function withDesk<T>(
  { name, values, terminal }: Omit<Asked, 'voices'>,
  work: (desk: Desk) => T | Promise<T>,
): Promise<T> {
  const desk = await openDesk(values, terminal, { mode: name === '' ? 'write' : 'read' });
  try {
    return await work(desk);
  } finally {
    await desk.close();
  }
}
