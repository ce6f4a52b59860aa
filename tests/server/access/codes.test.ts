/** Pairing codes: one phone each, for ten minutes, and what guessing comes to. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { Codes, codeLimits } from '../../../server/access/codes.ts';

function setting(code = '40718236') {
  const clock = { now: 1_000_000 };
  const codes = new Codes(
    () => clock.now,
    () => code,
  );
  return { clock, codes };
}
const sentenceOf = (tried: ReturnType<Codes['try']>) => (tried.ok ? 'in' : tried.sentence);

test('the right code lets one phone in, and no second one', () => {
  const { codes } = setting();
  codes.make();
  expect(codes.try('4071 8236', 'a')).toEqual({ ok: true });
  expect(sentenceOf(codes.try('40718236', 'b'))).toBe(
    'That code was used already. Press "New code" on the computer.',
  );
  expect(codes.state.kind).toBe('used');
});

test('without a code nothing is let in, not even nothing', () => {
  const { codes } = setting('');
  for (const given of ['', ' ', '00000000'])
    expect(sentenceOf(codes.try(given, 'a'))).toMatch(/There is no code/);
});

test('a code is too old after ten minutes, to the millisecond, and when the clock is set back', () => {
  const { codes, clock } = setting();
  codes.make();
  clock.now += codeLimits.life - 1;
  expect(codes.state.kind).toBe('open');
  clock.now += 1;
  expect(sentenceOf(codes.try('40718236', 'a'))).toMatch(/too old/);
  clock.now -= codeLimits.life + 1;
  expect(codes.state.kind).toBe('old');
});

test('after five wrong codes a minute an address waits, and may try again then', () => {
  const { codes, clock } = setting();
  codes.make();
  for (let at = 0; at < 5; at++) expect(sentenceOf(codes.try('11111111', 'a'))).toMatch(/not the code/);
  expect(sentenceOf(codes.try('40718236', 'a'))).toMatch(
    /Too many wrong codes from this phone. Wait a minute/,
  );
  // Another phone does not wait for the one that guessed.
  clock.now += 1;
  expect(codes.state.kind).toBe('open');
  clock.now += codeLimits.within;
  expect(codes.try('40718236', 'a')).toEqual({ ok: true });
});

test('ten thousand guesses from as many addresses come to twenty, then the code is void', () => {
  const { codes } = setting('09999999');
  codes.make();
  let compared = 0;
  for (let guess = 0; guess < 10_000; guess++) {
    const tried = codes.try(String(guess).padStart(8, '0'), `address ${guess}`);
    expect(tried.ok).toBe(false);
    if (sentenceOf(tried).startsWith('That is not the code')) compared++;
  }
  expect(compared).toBe(codeLimits.tries);
  expect(codes.state.kind).toBe('spent');
  // Not even the right one any more.
  expect(sentenceOf(codes.try('09999999', 'the phone'))).toMatch(
    /Too many wrong codes were tried: that code is void/,
  );
  codes.make();
  expect(codes.try('09999999', 'the phone')).toEqual({ ok: true });
});

test('a new code voids the one before', () => {
  const given = ['11112222', '33334444'];
  const codes = new Codes(Date.now, () => given.shift()!);
  codes.make();
  codes.make();
  expect(codes.try('11112222', 'a').ok).toBe(false);
  expect(codes.try('33334444', 'a').ok).toBe(true);
});

test('whatever is tried, at most one try comes in per code, and only the code itself', () => {
  fc.assert(
    fc.property(
      fc.array(fc.oneof(fc.string({ maxLength: 12 }), fc.constant('40718236'), fc.constant('new')), {
        maxLength: 40,
      }),
      (tries) => {
        const { codes } = setting();
        let made = 1;
        let let_in = 0;
        codes.make();
        for (const [at, given] of tries.entries()) {
          if (given === 'new') {
            codes.make();
            made++;
          } else if (codes.try(given, `${at}`).ok) {
            let_in++;
            expect(given.replace(/[\s-]/g, '')).toBe('40718236');
          }
        }
        expect(let_in).toBeLessThanOrEqual(made);
      },
    ),
  );
});

test('codes are eight digits, and many of them are different', () => {
  const codes = new Codes();
  const made = Array.from({ length: 200 }, () => codes.make());
  for (const code of made) expect(code).toMatch(/^\d{8}$/);
  expect(new Set(made).size).toBeGreaterThan(198);
});
