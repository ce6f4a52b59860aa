/**
 * What the rest of the program may use of the grammar: the description, its compiler, the readers, the speaker, the
 * sampler and the exports.
 */

export { aloud } from './aloud.ts';
export { checkDescription } from './check.ts';
export { compile, compileUnminimised, parseDescription, type Trees } from './compile.ts';
export { toJsgf, toSrgsAbnf, toSrgsXml } from './export.ts';
export { grammar } from './grammar.ts';
export { cheatSheet, examplesOf, type Help, type HelpEntry, type HelpFamily, helpOf } from './help.ts';
export { Meaning, meaningOf } from './meaning.ts';
export * from './model.ts';
export { normalise } from './normalise.ts';
export { noteKey } from './notekey.ts';
export { createReader, longestNote, type Reader } from './read.ts';
export { createSampler, type Sample, type Sampler } from './sample.ts';
export { sayCount, sayNumber } from './say.ts';
export { spansOf } from './spans.ts';
export { createSpeaker, type Speaker } from './speak.ts';
