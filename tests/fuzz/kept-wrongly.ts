/** The oracle of strings that nobody meant: what may be read without a question is what stands there, by letter or by sound. */
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { normalise } from '../../grammar/description/normalise.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { noteSchema } from '../../shared/note/note.ts';

/** `unfit`: a note with a name that no book can hold; the session refuses it. */
export type Verdict = 'exact' | 'plain' | 'alike' | 'asked' | 'refused' | 'unfit' | { readonly kept: string };

/** Without fillers, but for those that are the note itself: "um ok" is "ok". */
const unfilled = (text: string, note = ''): string =>
  normalise(text)
    .replaceAll(',', '')
    .split(' ')
    .filter((word) => word === note || !grammar.fillers.includes(word))
    .join(' ');
/** Without fillers, and what is said twice once. */
const plain = (text: string, note: string): string =>
  unfilled(text, note).replaceAll(/\b(\S+)( \1)+\b/g, '$1');

/** Judges one string; throws where a refusal says nothing. */
export function createJudge(automaton: Automaton): (text: string) => Verdict {
  const reader = createReader(automaton);
  const understand = createUnderstanding(automaton, grammar);
  const lexicon = createLexicon();
  const soundAlike = (written: string, meant: string): boolean => {
    const [a, b] = [written, meant].map((words) =>
      words
        .split(' ')
        .reduce<string[]>(
          (all, word) =>
            all.flatMap((before) => lexicon.pronounce(word).map((sound) => `${before}${sound} `)),
          [''],
        ),
    ) as [string[], string[]];
    const other = new Set(b.map((sound) => sound.replaceAll(/[ ,]+/g, ' ')));
    return a.some((sound) => other.has(sound.replaceAll(/[ ,]+/g, ' ')));
  };
  return (text) => {
    const understood = understand(text);
    if (!understood.ok) {
      if (understood.error.trim() === '')
        throw new Error(`a refusal that says nothing: ${JSON.stringify(text)}`);
      return 'refused';
    }
    if (understood.value.some(({ notes }) => notes.some((note) => !noteSchema.safeParse(note).success)))
      return 'unfit';
    if (reader.read(text).ok) return 'exact';
    const [best] = understood.value;
    if (best!.posterior < 0.8) return 'asked';
    if (reader.read(plain(text, best!.words)).ok) return 'plain';
    if (best!.words.split(' ').length > 1 && soundAlike(unfilled(text), best!.words)) return 'alike';
    return { kept: best!.words };
  };
}

/** A string of random words of the language, or of random letters and signs. `pick(n)`: a whole number below n. */
export function randomString(automaton: Automaton, i: number, pick: (n: number) => number): string {
  const bytes = i % 2 === 1;
  const { words } = automaton;
  let text = '';
  for (let n = pick(bytes ? 24 : 9); n >= 0; n--)
    text += bytes ? String.fromCharCode(pick(256)) : ` ${words[1 + pick(words.length - 1)]}`;
  return text;
}
