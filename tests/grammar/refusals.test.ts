/** Refusals give the nearest whole example with the person's own numbers and names, and every example can be said. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { understandingTyped } from '../support/conversation.ts';
import { automaton, reader } from '../support/language.ts';

const refusal = (words: string): string => {
  const read = understandingTyped(words);
  return read.ok ? `read as ${JSON.stringify(read.value)}` : read.error;
};
const example = (words: string): string => refusal(words).replace(/^.*You can say: (.*)\.$/, '$1');

describe('the example of a refusal', () => {
  test.each([
    ['larch 21 with a zibbered gnarl, not 18 metres tall', /^larch, 21/],
    ['get rid of the frobbered hemlock, not the beech', /^(?:delete|scratch) the hemlock$/],
    ['how is the blorpage of the hemlock not counted in', /hemlock/],
    ['wumping gnarls along the zibber path', /^remark wumping gnarls along the zibber path$/],
  ])('has the own words of "%s"', (words, own) => {
    expect(example(words)).toMatch(own);
  });

  test('can be said itself, whatever was refused', () => {
    const words = automaton.words.filter((word) => /^[a-z]+$/.test(word));
    fc.assert(
      fc.property(
        fc.array(fc.oneof(fc.constantFrom(...words), fc.constantFrom('blorp', 'zibber', '14', '9.5', ',')), {
          minLength: 2,
          maxLength: 9,
        }),
        (said) => {
          const reply = refusal(said.join(' '));
          const [, own] = /You can say: (.*)\.$/.exec(reply) ?? [];
          if (own !== undefined) expect(reader.read(own).ok, reply).toBe(true);
        },
      ),
      { numRuns: 60 },
    );
  });
});
