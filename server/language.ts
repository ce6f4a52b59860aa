/** The grammar put together for the server: what reads words, what speaks notes, what writes the language down. */
import { grammar } from '../grammar/grammar.ts';
import { compile, createReader, createSpeaker, parseDescription } from '../grammar/index.ts';
import { err, ok } from '../shared/result.ts';
import type { GrammarFormat } from '../shared/wire.ts';
import type { Language } from './desk.ts';

/** Compiles the grammar once; everything in it afterwards is quick. */
export function createLanguage(): Language {
  const trees = parseDescription(grammar);
  const reader = createReader(compile(grammar));
  const speaker = createSpeaker(trees);
  return {
    tongue: {
      version: grammar.version,
      speak: (note) => speaker.speak(note) ?? JSON.stringify(note),
      hints: () =>
        grammar.rules
          .flatMap((rule) => rule.examples?.slice(0, 1).map((example) => example.words) ?? [])
          .slice(0, 6),
    },
    read(words) {
      const read = reader.read(words);
      return read.ok ? ok(read.value) : err(read.error.message);
    },
    render: (format) => render(format),
  };
}
function render(_: GrammarFormat): string {
  return '';
}
