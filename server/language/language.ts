/** The grammar put together for the server: what reads words, what speaks notes, what writes the language down. */

import { grammar, withUserWords } from '../../grammar/description/grammar.ts';
import type { Description } from '../../grammar/description/model.ts';
import { parseDescription, type Syntax } from '../../grammar/description/syntax.ts';
import { withTypedSpecies } from '../../grammar/description/typed-species.ts';
import type { PhoneGraph } from '../../grammar/pronunciation/phone-graph.ts';
import { createUnderstanding } from '../../grammar/reading/understand.ts';
import { toJsgf, toSrgsAbnf, toSrgsXml } from '../../grammar/writing/exports.ts';
import { examplesOf, helpOf } from '../../grammar/writing/help.ts';
import { createTongue } from '../../grammar/writing/tongue.ts';
import type { Taught } from '../../shared/book/taught.ts';
import type { Result } from '../../shared/core/result.ts';
import type { ToldBefore } from '../../shared/dialogue/told-before.ts';
import type { Tongue } from '../../shared/dialogue/types.ts';
import type { Candidate } from '../../shared/note/note.ts';
import type { GrammarFormat } from '../../shared/wire.ts';
import { keptAutomaton } from './automaton-cache.ts';
import { learnedReader } from './learned.ts';
import { learnElsewhere } from './learning.ts';

/** The language as the server uses it. */
export interface Language {
  readonly tongue: Tongue;
  /** What the words may mean behind what was told just now, best first, or the sentence to say why they mean nothing. */
  read(words: string, before?: ToldBefore): Result<readonly Candidate[], string>;
  /** The whole language in one of its written forms. */
  render(format: GrammarFormat): string;
  /**
   * The program's own language with what a book taught besides, the newest meaning of a word holding. Made elsewhere, in
   * seconds, while this one goes on. Rejects when that fails or is stopped.
   */
  taught(taught: Taught, stop?: AbortSignal): Promise<Language>;
}

/** The language of this program; made once, quick afterwards. */
export function createLanguage(
  description: Description = grammar,
  automaton = keptAutomaton(description),
  graph?: PhoneGraph,
): Language {
  const trees = parseDescription(description);
  return {
    tongue: createTongue(description, () => trees),
    read: withTypedSpecies(
      createUnderstanding(automaton, description, graph && (() => graph), learnedReader),
    ),
    render: (format) => render(format, trees),
    async taught({ words, names }, stop) {
      const learnt = await learnElsewhere({ words, names }, stop);
      return createLanguage(withUserWords(grammar, words, names), learnt.automaton, learnt.graph);
    },
  };
}

function render(format: GrammarFormat, trees: Syntax): string {
  switch (format) {
    case 'help':
      return helpText(trees);
    case 'examples':
      return `${examplesOf(trees).join('\n')}\n`;
    case 'srgs':
      return toSrgsXml(trees);
    case 'abnf':
      return toSrgsAbnf(trees);
    case 'jsgf':
      return toJsgf(trees);
  }
}

/** The help page for a terminal: every family, what each thing does, how it is said, an example. */
function helpText(trees: Syntax): string {
  const { families, parts } = helpOf(trees);
  const sections = families.map(({ family, entries }) => {
    const lines = entries.map(({ help, forms, examples }) => {
      const said = examples.map((example) => `    "${example}"`);
      return [`  ${help}`, ...said, ...forms.map((form) => `    ${form}`)].join('\n');
    });
    return `${family}\n${'-'.repeat(family.length)}\n${lines.join('\n\n')}\n`;
  });
  const partLines = parts.map(({ name, forms }) => `  ${name}: ${forms.join(' | ')}`);
  return `${sections.join('\n')}\nParts\n-----\n${partLines.join('\n')}\n`;
}
