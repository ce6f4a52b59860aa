/** Two notes are the same exactly when the texts of them are; comparing them writes none. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import type { Note } from '../../shared/note/note.ts';
import { noteKey, sameNote } from '../../shared/note/note-key.ts';

const fields = fc.letrec<{ value: unknown }>((tie) => ({
  value: fc.oneof(
    { maxDepth: 3 },
    fc.constantFrom(1, 2, 'ft', 'in', true, null),
    fc.array(tie('value'), { maxLength: 2 }),
    fc.dictionary(fc.constantFrom('kind', 'value', 'unit', 'constructor', 'toString'), tie('value'), {
      maxKeys: 3,
    }),
  ),
})).value;

test('law: sameNote is equality of keys, in any order of fields', () => {
  fc.assert(
    fc.property(fields, fields, (a, b) => {
      const [one, other] = [{ of: a } as unknown as Note, { of: b } as unknown as Note];
      expect(sameNote(one, other)).toBe(noteKey(one) === noteKey(other));
      expect(sameNote(one, structuredClone(one))).toBe(true);
    }),
    { numRuns: 2000 },
  );
  const turned = { value: 1, kind: 'number' } as Note;
  expect(sameNote({ kind: 'number', value: 1 }, turned)).toBe(true);
  expect(sameNote({ kind: 'number', value: 1, unit: undefined } as Note, turned)).toBe(true);
});
