/** The oracle of strings that nobody meant: what may be read without a question is what stands there, by letter or by sound. */
import type { Automaton } from '../../grammar/automaton/automaton.ts';
import { grammar } from '../../grammar/description/grammar.ts';
import { normalise } from '../../grammar/description/normalise.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createLexicon } from '../../grammar/pronunciation/lexicon.ts';
import { Composer } from '../../grammar/reading/composer.ts';
import { decisionLimits } from '../../grammar/reading/edit-costs.ts';
import { createReader } from '../../grammar/reading/exact.ts';
import { withoutHesitation } from '../../grammar/reading/hesitation.ts';
import { PlainReader } from '../../grammar/reading/plainly.ts';
import { TolerantReader } from '../../grammar/reading/tolerant.ts';
import { createUnderstanding, typedGraph } from '../../grammar/reading/understand.ts';
import { noteSchema } from '../../shared/note/note.ts';
import { againstSense } from './sense.ts';

/**
 * `unfit`: a note with a name that no book can hold; the session refuses it. `told`: put together from pieces, with the numbers,
 * names, marks and the "not" that were said, and no others.
 */
export type Verdict =
  | 'exact'
  | 'plain'
  | 'alike'
  | 'told'
  | 'asked'
  | 'refused'
  | 'unfit'
  | { readonly kept: string; readonly why: string };

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

/**
 * Whether a string may be kept: one of the readers that keep would keep it, the nearly right one searching narrowly, which is
 * where nearly all that it keeps is found. A fifth of the cost of the whole chain, for long runs; a sample of the rest is judged whole.
 */
export function createSieve(automaton: Automaton): (text: string) => boolean {
  const reader = createReader(automaton);
  const composer = new Composer(parseDescription(grammar), reader);
  const plain = new PlainReader(reader);
  const { fillers } = grammar;
  const nearly = new TolerantReader(typedGraph(automaton, grammar), { fillers, beam: 7 });
  return (said) => {
    const text = withoutHesitation(said);
    if (reader.read(text).ok || composer.read(text)?.[0]?.posterior === 1 || plain.read(text) !== undefined)
      return true;
    const [first] = nearly.read(plain.asTyped(text));
    return (
      first !== undefined &&
      first.cost <= decisionLimits.keepCost &&
      first.evidence?.passedOver === 0 &&
      first.evidence.supposed === 0
    );
  };
}

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
    // What is put together from pieces repeats the words as they are.
    const other = unfilled(text) !== unfilled(best!.words) && best!.words.includes(' ');
    if (other && soundAlike(unfilled(text), best!.words)) return 'alike';
    const why = againstSense(text, best!.notes);
    return why === undefined ? 'told' : { kept: best!.words, why };
  };
}
