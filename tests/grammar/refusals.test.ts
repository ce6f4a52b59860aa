/** Refusals give the nearest whole example with the person's own numbers and names, and every example can be said. */
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { takeFrom } from '../../shared/dialogue/choosing.ts';
import { automaton, reader } from '../support/language.ts';
import { understandTyped } from '../support/typed.ts';

const refusal = (words: string): string => {
  const read = understandTyped(words);
  return read.ok ? `read as ${JSON.stringify(read.value)}` : read.error;
};
const example = (words: string): string => refusal(words).replace(/^.*You can say: (.*)\.$/, '$1');

describe('the example of a refusal', () => {
  test.each([
    ['larch 21 with a zibbered gnarl, not 18 metres tall', /^larch, 21/],
    ['get rid of the frobbered hemlock, not the beech', /^(?:delete|scratch) the hemlock$/],
    ['how is the blorpage of the hemlock not counted in', /hemlock/],
    ['wumping gnarls, 14 of them zibbered', /^[a-z]/],
  ])('has the own words of "%s"', (words, own) => {
    expect(example(words)).toMatch(own);
  });

  test('is offered itself, where it has every number, name and telling word of what was said', () => {
    expect(understandTyped('the wumping larch, girth 71 inches, zibbered')).toMatchObject({
      ok: true,
      value: [{ posterior: 0.5, unread: expect.stringContaining('wumping') }],
    });
    const mostly = understandTyped('the wumping larch is not girth 71 inches');
    expect(mostly.ok && mostly.value[0]!.posterior >= takeFrom).toBe(false);
  });

  test('is no example but a remark, where what was said is of no kind and has no number', () => {
    expect(understandTyped('wumping gnarls along the zibber path')).toMatchObject({
      ok: true,
      value: [{ notes: [{ kind: 'remark', text: 'wumping gnarls along the zibber path' }], posterior: 0.5 }],
    });
    expect(refusal('wumping gnarls')).toMatch(/^I do not know "wumping" or "gnarls"/);
    expect(refusal('are the gnarls of the zibber path wumping?')).toMatch(/^(?:I|There)/);
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
