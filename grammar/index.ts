/**
 * What the rest of the program may use of the grammar: the description, its compiler, the readers, the speaker, the
 * sampler and the exports.
 */

export { noteKey } from '../shared/note/note-key.ts';
export { compile, compileUnminimised, parseDescription, type Trees } from './automaton/compile.ts';
export { Meaning, meaningOf } from './automaton/meaning.ts';
export { spansOf } from './automaton/spans.ts';
export { checkDescription } from './description/checks.ts';
export { grammar } from './description/grammar.ts';
export * from './description/model.ts';
export { normalise } from './description/normalise.ts';
export { sayCount, sayNumber } from './description/spell-numbers.ts';
export { createReader, longestNote, type Reader } from './reading/exact.ts';
export { aloud } from './writing/aloud.ts';
export { toJsgf, toSrgsAbnf, toSrgsXml } from './writing/exports.ts';
export {
  cheatSheet,
  examplesOf,
  type Help,
  type HelpEntry,
  type HelpFamily,
  helpOf,
} from './writing/help.ts';
export { createSampler, type Sample, type Sampler } from './writing/sample.ts';
export { createSpeaker, type Speaker } from './writing/speak.ts';
