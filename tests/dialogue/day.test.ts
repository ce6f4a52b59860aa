/**
 * The acceptance story: a made-up morning in a made-up wood. Figures were worked by hand from the notes (pace 5.23 ft,
 * eye 5 ft 4): each is given beside its line. Geometry: a tenth of an acre has a radius of 37.24 ft.
 */

import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createLanguage } from '../../server/language/language.ts';
import { readWav } from '../../server/speech/audio.ts';
import { createHearing } from '../../server/speech/hear.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { type Conversation, converse } from '../support/conversation.ts';

const morning: readonly (readonly [said: string, answered: RegExp])[] = [
  // 100 / 19
  ['nineteen paces in one hundred feet', /^Pace 5\.26 feet, give or take 0\.\d+\. Walk it again/],
  // 204 / 39
  ['twenty paces in one hundred and four feet', /^Pace 5\.23 feet from 2 walks/],
  ['eye height five foot four', /^Eye height 5 feet 4\.$/],
  ['stand alder hollow, twelve acres', /^Alder Hollow, 12 acres\. Stop before you look up/],
  // sqrt(43560 / 10 / pi)
  ['plot one, tenth acre', /^Plot 1, a tenth of an acre\. Radius 37\.2 feet\.$/],
  ['red maple, eleven point four', /^Tree 1, red maple, 11\.4 inches\.$/],
  // 10.5 x 5.2308 + 5.333 = 60.26
  ['ten and a half paces', /^60 feet, give or take \d/],
  ['red oak sixteen two, two logs', /^Tree 2, northern red oak, 16\.2 inches, 2 logs\.$/],
  // 30 x 5.2308 + 5.333 = 162.3; 13 x 5.2308 + 5.333 = 73.3
  ['thirty paces', /162 feet.*thirteen.* 73/],
  ['thirteen', /^73 feet, give or take \d.*Kept\.$/],
  ['how sure are you', /^Give or take \d.*the pace.*the (angle|count)/],
  ['why', /13 paces of 5\.23 feet make 68 feet; plus the eye, 5\.3 feet.*45 degrees/],
  ['sugar maple fourteen inches, dead', /^Tree 3, sugar maple, 14 inches, dead\. No height needed\.$/],
  // 37.237 - 36.9 = 0.34 ft
  ['beech, centre at thirty six point nine feet, in or out', /^In, by 4 inches/],
  // 37.6 - 37.237 = 0.36 ft
  ['make that thirty seven point six', /^Out, by 4 inches\. Not counted/],
  // 36.9 + 4.5 / 12 = 37.275: out by 0.04 ft
  [
    'nine inch beech, face at thirty six point nine, in or out',
    /^Out, by half an inch: the centre is at 37\.3 feet/,
  ],
  ['scratch that', /^Scratched: .*beech, 9 inches\. In hand: tree 4, American beech\.$/],
  ['how many trees', /^3 trees, one of them dead\.$/],
  // 0.005454 x (11.4^2 + 16.2^2) x 10 = 21.4; with the dead one 32.1
  ['basal area', /^21 square feet an acre alive, 32 with the dead\. One plot, so no error yet\.$/],
  ['close plot', /^Plot 1 closed: 3 trees\. Next is plot 2\.$/],
  ['empty plot', /^Plot 2 is empty\. It counts\.$/],
  // (60.26 + 73.33) / 2
  ['mean height', /^66\.8 feet, from 2 trees\.$/],
  ['volume per acre by doyle', /board feet an acre by Doyle/],
  ['how many more plots for fifteen percent', /^At this spread, \d+ more for 15 percent.*2 plots say little/],
  ['any doubts', /^None open\. 1 settled; the last was mended: .*162 feet/],
  ['say again', /^None open\. 1 settled/],
  ['stop listening', /^Not listening/],
];

describe('a morning in Alder Hollow, typed', () => {
  let conversation: Conversation;
  beforeAll(async () => {
    conversation = await converse();
  });

  for (const [said, answered] of morning) {
    it(said, async () => {
      const { answer } = await conversation.tell(said);
      expect(answer.reply).toMatch(answered);
      expect(answer.state).not.toBe('refused');
    });
  }

  it('has mean basal area over both plots, the empty one counted', () => {
    const area = totalsOf(conversation.session.book).basalArea();
    expect(area.value).toBeCloseTo((0.005454 * (11.4 ** 2 + 16.2 ** 2) * 10) / 2, 1);
    expect(area.plots).toBe(2);
  });
});

/** Paths of the morning's clips in its order; `npx stemsay hear --list tests/sessions/morning.txt` speaks them too. */
const clips = readFileSync(new URL('../sessions/morning.txt', import.meta.url), 'utf8')
  .trim()
  .split('\n');

describe('the same morning, spoken by made voices and heard with the true model', () => {
  let desk: Desk;
  let askedBack = 0;
  beforeAll(async () => {
    const hearing = createHearing();
    expect(await hearing.ready).toEqual({ ok: true, value: undefined });
    desk = await Desk.open({ store: new MemoryStore(), language: createLanguage(), hearing });
    return () => desk.close();
  });

  for (const [at, [said, answered]] of morning.entries()) {
    it(`hears "${said}" and gives the typed reply, at most after a yes`, async () => {
      const wav = readFileSync(new URL(`../../${clips[at]}`, import.meta.url));
      const sound = readWav(wav);
      if (!sound.ok) throw new Error(sound.error.message);
      let told = await desk.sound(sound.value, wav);
      if (told.answer.reply.startsWith('Did you say')) {
        askedBack++;
        told = await desk.note('yes');
      }
      expect(told.answer.reply).toMatch(answered);
    });
  }

  it('asks back about three of the twenty seven at most', () => {
    expect(askedBack).toBeLessThanOrEqual(3);
  });
});
