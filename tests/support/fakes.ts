/** Small stand-ins for the language and for hearing, so that the server is tested without compiling a grammar. */
import type { Language } from '../../server/language/language.ts';
import type { Hearing } from '../../server/speech/hear.ts';
import { err, ok } from '../../shared/core/result.ts';
import type { Note } from '../../shared/note/note.ts';

/** A clock that stands: 1 May 2026, 12:00 universal time. */
export const noon = () => Date.UTC(2026, 4, 1, 12);

const known = new Map<string, Note>([
  [
    'nine paces',
    {
      kind: 'height',
      height: { method: 'stick', distance: { by: 'paces', count: 9 }, eye: { value: 5, unit: 'ft' } },
    },
  ],
  ['pace is five feet', { kind: 'setting', set: { what: 'pace', length: { value: 5, unit: 'ft' } } }],
  ['scratch that', { kind: 'scratch' }],
  ['red oak sixteen inches', { kind: 'tree', facts: { species: 833, diameter: { value: 16, unit: 'in' } } }],
]);

export const fakeLanguage: Language = {
  tongue: {
    version: 'fake',
    speak: (note) => [...known].find(([, one]) => one.kind === note.kind)?.[0] ?? note.kind,
    hints: () => [...known.keys()],
    help: () => 'Say eight paces.',
  },
  read(words) {
    const note = known.get(words);
    return note ? ok([{ notes: [note], words, posterior: 1 }]) : err(`Expected paces, found "${words}".`);
  },
  render: (format) => `the language as ${format}\n`,
  taught: async () => fakeLanguage,
};

/** Hears "nine paces" in every sound. */
export const fakeHearing: Hearing = {
  ready: Promise.resolve(ok(undefined)),
  deaf: null,
  hear: async () =>
    ok({
      candidates: [{ notes: [known.get('nine paces')!], words: 'nine paces', posterior: 0.95 }],
      facts: { margin: 0.1, posterior: 0.95 },
    }),
  teach: () => {},
  follow: () => ({ waiting: 0, push() {}, attend() {}, close() {} }),
  close: async () => {},
};
