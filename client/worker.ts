/** The page's worker: it reads words, compiles what the user taught, and hears, so that the page itself never stalls. */
import './device/jitless.ts';
import type { Automaton } from '../grammar/automaton/automaton.ts';
import { compile } from '../grammar/automaton/compile.ts';
import { deserialize } from '../grammar/automaton/serialize.ts';
import type { Listener } from '../grammar/decoding/listener.ts';
import type { HeardLanguage, Recognizer } from '../grammar/decoding/recognizer.ts';
import { grammar, withUserWords } from '../grammar/description/grammar.ts';
import type { Description } from '../grammar/description/model.ts';
import { anotherLook } from '../grammar/reading/another-look.ts';
import { createReader } from '../grammar/reading/exact.ts';
import type { LearnedReader } from '../grammar/reading/learned/learned-reader.ts';
import type { Understanding } from '../grammar/reading/understand.ts';
import { ok } from '../shared/core/result.ts';
import type { ToldBefore } from '../shared/dialogue/told-before.ts';
import { deaf, type EarFiles } from './conversation/ear.ts';
import type {
  TypedNote,
  WorkerEvent,
  WorkerReply,
  WorkerRequest,
  WorkerTasks,
} from './conversation/messenger.ts';

/**
 * Where the build puts the packed automaton, and the same with how usual each word is, which only hearing wants: beside
 * this script.
 */
const languageFile = 'language.bin';
declare const SPOKEN_FILE: string;
/** Where it puts what the learned reader knows. */
declare const LEARNED_FILE: string;

interface Language {
  readonly description: Description;
  readonly automaton: Automaton;
  /** Null where the words take readers that are not all here. */
  read(note: TypedNote): Understanding | null;
  /** Fetches those readers first. The learned one may be missing, or on its way: the next note looks for it again. */
  fetchAndRead(note: TypedNote): Promise<Understanding>;
}

let learnedReader: LearnedReader | undefined;
let learning: Promise<void> | undefined;

/** Brings the learned reader where its file can be had; the others read on without it, and the next note tries again. */
function fetchLearned(): Promise<void> {
  learning ??= Promise.all([
    import('../grammar/reading/learned/learned-reader.ts'),
    import('../grammar/reading/learned/weights.ts'),
    fetch(new URL(LEARNED_FILE, location.href)).then((response) =>
      response.ok ? response.arrayBuffer() : Promise.reject(new Error('not found')),
    ),
  ]).then(
    ([{ LearnedReader: Reader }, { readWeights }, file]) => {
      const weights = readWeights(new Uint8Array(file));
      if (weights.ok) learnedReader = new Reader(weights.value);
    },
    () => {
      learning = undefined;
    },
  );
  return learning;
}

/** So long a note waits for the learned reader, in milliseconds; on a slow way the others read it without. */
const longestWait = 4000;
const patience = (): Promise<void> => new Promise((resolve) => setTimeout(resolve, longestWait));

/** Reads word for word at once; what only the nearly right needs (a lexicon of sounds) is fetched when it is needed. */
function languageOf(description: Description, automaton: Automaton): Language {
  const exact = createReader(automaton);
  let understand: ((words: string, before: ToldBefore) => Understanding) | null = null;
  const wordForWord = (words: string): Understanding | null => {
    const read = exact.read(words);
    return read.ok && anotherLook(words, read.value) === undefined ? ok(read.value) : null;
  };
  return {
    description,
    automaton,
    read: ({ words, before }) =>
      wordForWord(words) ?? (learnedReader === undefined ? null : (understand?.(words, before) ?? null)),
    async fetchAndRead({ words, before }) {
      const read = wordForWord(words);
      if (read !== null) return read;
      const parts = Promise.all([
        import('../grammar/reading/understand.ts'),
        import('../grammar/description/rule-help.ts'),
        import('../grammar/description/typed-species.ts'),
      ]).catch(() => {
        throw new Error('What reads this is not in this browser yet, and it cannot be fetched now.');
      });
      const [[{ createUnderstanding }, { withHelp }, { withTypedSpecies }]] = await Promise.all([
        parts,
        Promise.race([fetchLearned(), patience()]),
      ]);
      understand ??= withTypedSpecies(
        createUnderstanding(automaton, withHelp(description), undefined, () => learnedReader),
      );
      return understand(words, before);
    },
  };
}

async function unpacked(file: string): Promise<Automaton | null> {
  const response = await fetch(new URL(file, location.href));
  if (!response.ok) throw new Error('The language file is missing: build the page again.');
  const automaton = deserialize(new Uint8Array(await response.arrayBuffer()));
  return automaton.ok ? automaton.value : null;
}

async function ownLanguage(): Promise<Language> {
  // A file of another build, or a damaged one: slower, but it never fails.
  return languageOf(grammar, (await unpacked(languageFile)) ?? compile(grammar));
}

/** The language as the ear learns it; where how usual words are is not at hand, the ear counts it, which takes a while. */
async function heardLanguage(): Promise<HeardLanguage> {
  const now = await language();
  const ofTheFiles = now.automaton === (await own()).automaton;
  const spoken = ofTheFiles ? await unpacked(SPOKEN_FILE).catch(() => null) : null;
  return spoken === null ? now : { automaton: spoken, description: now.description };
}

let opening: Promise<Language> | undefined;
/** The language of the file; where it could not be had, the next who needs it tries again. */
function own(): Promise<Language> {
  opening ??= ownLanguage().then(
    (opened) => {
      isHere = true;
      return opened;
    },
    (cause) => {
      opening = undefined;
      throw cause;
    },
  );
  return opening;
}
let isHere = false;
/** The same with what the book taught. */
let language = own;
own().catch(() => undefined);
let ear: Recognizer | null = null;
/** Where the open ear was loaded from. */
let files: EarFiles | null = null;
let person: Parameters<WorkerTasks['adapt']>[0] = { voice: null, said: [] };

/** Tells the ear who speaks; what profiles need is fetched where there is one. */
async function adaptEar(): Promise<boolean> {
  if (ear === null || files === null) return true;
  const { voice, said } = person;
  const layer = voice === null ? null : await (await import('./ear/voice-lesson.ts')).layerOf(voice, files);
  ear.adapt({ voice: layer, said });
  return voice === null || layer !== null;
}
let listener: Listener | null = null;

const tasks: {
  [T in keyof WorkerTasks]: (given: Parameters<WorkerTasks[T]>[0]) => Promise<ReturnType<WorkerTasks[T]>>;
} = {
  read: async (note) => (isHere ? (await language()).read(note) : null),
  fetchAndRead: async (note) => (await language()).fetchAndRead(note),
  async teach({ words, names }) {
    const description = withUserWords(grammar, words, names);
    // Names change what is expected, not what can be said.
    const automaton = words.length > 0 ? compile(withUserWords(grammar, words)) : (await own()).automaton;
    const taught = Promise.resolve(languageOf(description, automaton));
    language = () => taught;
    ear?.learn(await heardLanguage());
    return null;
  },
  async listen(where) {
    if (ear) return null;
    const heard = await heardLanguage();
    try {
      // A megabyte that only who hears here needs.
      const { openEar } = await import('./ear/page-ear.ts');
      ear = await openEar(where);
      ear.learn(heard);
      files = where;
      await adaptEar();
      return null;
    } catch (cause) {
      return `The ear of this page could not be opened: ${sentenceOf(cause)}`;
    }
  },
  hear: async (samples) =>
    ear === null ? deaf('The ear of this page is not open.') : ear.recognize(samples),
  async follow({ wakeWord }) {
    if (ear === null) return 'The ear of this page is not open.';
    listener = ear.follow(wakeWord, (event) => postMessage({ event } satisfies WorkerEvent));
    return null;
  },
  async sound(samples) {
    await listener?.push(samples);
    return null;
  },
  async attend(gate) {
    listener?.attend(gate);
    return null;
  },
  async leave() {
    listener = null;
    return null;
  },
  adapt: async (given) => {
    person = given;
    return adaptEar();
  },
  async learnVoice(material) {
    if (ear === null || files === null) return 'The ear of this page is not open.';
    const { learnInPage } = await import('./ear/voice-lesson.ts');
    return learnInPage(ear, material, files);
  },
};

const sentenceOf = (cause: unknown): string =>
  (cause instanceof Error ? cause.message : String(cause)).split('\n')[0]!;

addEventListener('message', async (event: MessageEvent<WorkerRequest>) => {
  const { id, task, given } = event.data;
  let reply: WorkerReply;
  try {
    reply = { id, ok: true, value: await (tasks[task] as (given: unknown) => Promise<unknown>)(given) };
  } catch (cause) {
    reply = { id, ok: false, sentence: sentenceOf(cause) };
  }
  postMessage(reply);
});
