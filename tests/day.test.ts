/**
 * The acceptance story: a made-up morning in a made-up wood. Figures were worked by hand from the notes (pace 5.23 ft,
 * eye 5 ft 4): each is given beside its line. Geometry: a tenth of an acre has a radius of 37.24 ft.
 */
import { beforeAll, describe, expect, it } from 'vitest';
import { type Conversation, converse } from './conversation.ts';

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
  // 10.5 x 5.2308 + 5.333 = 60.26; deviation: pace 10.5 x 0.2432 = 2.55, stick 2 x 54.9 x 0.01309 = 1.44, count (to the
  // half pace) 5.2308 / 2 / root 12 = 0.75, level 0.5, eye 0.15: 3.07
  ['ten and a half paces', /^60 feet, give or take 3\./],
  ['red oak sixteen two, two logs', /^Tree 2, northern red oak, 16\.2 inches, 2 logs\.$/],
  // 30 x 5.2308 + 5.333 = 162.3; 13 x 5.2308 + 5.333 = 73.3
  ['thirty paces', /162 feet.*thirteen.* 73/],
  // Standard deviation, feet: pace 13 x root(0.0611^2 + (0.045 x 5.2308)^2) = 3.16; stick 2 x 68.0 x 0.75 degrees
  // (0.01309) = 1.78; count 5.2308 / root 12 = 1.51; level ground 0.5; eye 0.15; the root of their squares: 3.96
  ['thirteen', /^73 feet, give or take 4\..*Kept\.$/],
  // 3.16^2 : 1.78^2 : 1.51^2 of 3.96^2 are 64, 20 and 15 percent
  ['how sure are you', /^Give or take 4 feet: most of it the pace, then the angle, then the count\./],
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
  ['scratch that', /^Scratched: .*beech, 9 inches\.$/],
  ['how many trees', /^3 trees, one of them dead\.$/],
  // 0.005454 x (11.4^2 + 16.2^2) x 10 = 21.4; with the dead one 32.1
  ['basal area', /^21 square feet an acre alive, 32 with the dead\. One plot, so no error yet\.$/],
  ['close plot', /^Plot 1 closed: 3 trees\. Next is plot 2\.$/],
  ['empty plot', /^Plot 2 is empty\. It counts\.$/],
  // (60.26 + 73.33) / 2
  ['mean height', /^66\.8 feet, from 2 trees\.$/],
  // Wiant's regression for Doyle at 2 logs: a = (0.55743 x 2 + 41.51275) x 2 - 29.37337 = 55.882, b = (-0.04516 x 2 -
  // 8.77272) x 2 + 2.78043 = -14.946, c = (-0.01578 x 2 + 0.59042) x 2 + 0.04177 = 1.15949; (c x 16.2 + b) x 16.2 + a =
  // 118.06 board feet; ten to the acre, and nothing on the other plot: 590.3
  ['volume per acre by doyle', /^590 board feet an acre by Doyle, .* 1 tree has no logs/],
  // Plots of 21.4 and 0: mean 10.7, sd 15.13, CV 141.4 percent. Of 120 tenth-acre plots in 12 acres, with t(0.975, 89) =
  // 1.987 (from memory of tables): (1.987 x 141.4 / 15)^2 = 350.8; 1 / (1 / 350.8 + 1 / 120) = 89.4: 90, 88 more
  [
    'how many more plots for fifteen percent',
    /^At this spread, 88 more for 15 percent\. Plots differ by 141 percent\. 2 plots say little; ask again after five\.$/,
  ],
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
    const area = conversation.session.book.totals.basalArea();
    expect(area.value).toBeCloseTo((0.005454 * (11.4 ** 2 + 16.2 ** 2) * 10) / 2, 1);
    expect(area.plots).toBe(2);
  });
});
