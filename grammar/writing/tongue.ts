/**
 * What the conversation needs of the language: notes in words and a few things to say. One for server and page; made
 * at the first use, since parsing the description takes a tenth of a second.
 */
import type { Tongue } from '../../shared/dialogue/types.ts';
import type { Description } from '../description/model.ts';
import { parseDescription, type Syntax } from '../description/syntax.ts';
import { speakTyped } from '../description/typed-species.ts';
import { helpAbout, helpOf } from './help.ts';
import { createSpeaker, type Speaker } from './speak.ts';
import { speakAsked } from './speak-asked.ts';
import { speakOnlyTyped } from './speak-typed.ts';

/** Sentences that are offered when someone asks what can be said. */
const hintCount = 6;

/** Example: `createTongue(grammar).speak({ kind: 'next' })` is "next tree". */
export function createTongue(
  description: Description,
  treesOf = () => parseDescription(description),
): Tongue {
  let trees: Syntax | undefined;
  let speaker: Speaker | undefined;
  const parsed = (): Syntax => {
    trees ??= treesOf();
    return trees;
  };
  const speakerOnce = (): Speaker => {
    speaker ??= createSpeaker(parsed());
    return speaker;
  };
  return {
    version: description.version,
    // A note of a newer device may have no words here; the reply then names its kind rather than failing.
    speak(note) {
      const own = speakerOnce();
      const typed = (one: typeof note): string | undefined =>
        own.speak(one) ?? speakTyped(one, own.speak) ?? speakOnlyTyped(one, own.speak);
      return typed(note) ?? speakAsked(note, typed) ?? note.kind;
    },
    hints: () =>
      helpOf(parsed())
        .families.flatMap(({ entries }) => entries[0]?.examples[0] ?? [])
        .slice(0, hintCount),
    help: (topic) => helpAbout(parsed(), topic),
  };
}
