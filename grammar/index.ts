/**
 * What the rest of the program may use of the grammar: the description, its compiler, the readers and the speaker.
 */
export { compile, parseDescription, type Trees } from './compile.ts';
export { Meaning, meaningOf, spansOf } from './meaning.ts';
export * from './model.ts';
export { normalise } from './normalise.ts';
export { createReader, longestNote, type Reader } from './read.ts';
export { sayCount, sayNumber } from './say.ts';
export { createSpeaker, type Speaker } from './speak.ts';
