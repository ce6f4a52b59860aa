/** The language in the page: the compiled automaton from the build, the reader of typed words, the speaker of notes. */
import { grammar } from '../grammar/grammar.ts';
import {
  type Automaton,
  createReader,
  createSpeaker,
  parseDescription,
  type Speaker,
} from '../grammar/index.ts';
import { unpack } from '../grammar/packed.ts';
import type { Tongue } from '../shared/book/types.ts';
import type { Candidate, Note } from '../shared/note.ts';
import { err, ok, type Result } from '../shared/result.ts';

/** Where the build puts the packed automaton. */
export const languageFile = '/language.bin.gz';

export interface Language {
  readonly automaton: Automaton;
  readonly tongue: Tongue;
  /** What the words may mean, best first, or the sentence why they mean nothing. */
  read(words: string): Result<readonly Candidate[], string>;
  /** Builds what the first spoken note would otherwise wait for. */
  warm(): void;
}

/** Fetches and unpacks the language. Rejects with a sentence when it cannot be had. */
export async function loadLanguage(): Promise<Language> {
  const response = await fetch(languageFile);
  if (!response.ok || response.body === null)
    throw new Error('The language file is missing: build the page again.');
  const plain = response.body.pipeThrough(new DecompressionStream('gzip'));
  const automaton = unpack(new Uint8Array(await new Response(plain).arrayBuffer()));
  if (!automaton.ok) throw new Error(automaton.error);
  return createLanguage(automaton.value);
}

export function createLanguage(automaton: Automaton): Language {
  const reader = createReader(automaton);
  let speaker: Speaker | undefined;
  const speakerNow = (): Speaker => {
    speaker ??= createSpeaker(parseDescription(grammar));
    return speaker;
  };
  return {
    automaton,
    tongue: {
      version: grammar.version,
      speak: (note: Note) => speakerNow().speak(note) ?? note.kind,
      hints: () => hints,
    },
    read(words) {
      const read = reader.read(words);
      return read.ok ? ok(read.value) : err(read.error.message);
    },
    warm: () => void speakerNow(),
  };
}

/** The first example of each rule that has one. */
export const hints: readonly string[] = grammar.rules.flatMap(
  (rule) => rule.examples?.slice(0, 1).map((example) => example.words) ?? [],
);
