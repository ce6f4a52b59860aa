/** Slopes: of the ground or of the sight, and the radius of a plot on one. Numbers by hand. */
import { describe, expect, it } from 'vitest';
import { converse } from '../support/conversation.ts';

describe('a stick with a distance along a slope', () => {
  const said = 'slope distance sixty feet at minus twelve percent';

  it('asks whose slope it is, as the eye height hangs on it', async () => {
    const { tell, say } = await converse();
    await say('eye height five and a half');
    const { answer } = await tell(said);
    expect(answer).toMatchObject({
      state: 'asking',
      asks: 'Is that the slope of the ground, or of your sight to the base?',
    });
    // 60 / sqrt(1 + 0.12^2) = 59.57 level feet. The ground falls 7.15 feet to the tree: 59.57 + 5.5 + 7.15.
    expect((await tell('the ground')).answer.height?.feet).toBeCloseTo(72.2, 1);
  });

  it('of the sight adds no eye: the line goes from the eye to the base', async () => {
    const { tell, say } = await converse();
    await say('eye height five and a half', said);
    expect((await tell('the sight')).answer.height?.feet).toBeCloseTo(59.57 + 7.15, 1);
  });

  it('asks nothing where the eye or the base was said with it', async () => {
    const { tell } = await converse();
    const { answer } = await tell(`${said} eye five and a half`);
    expect(answer.state).toBe('kept');
    expect(answer.height?.feet).toBeCloseTo(72.2, 1);
  });

  it('of the ground waits for the eye where it is not known', async () => {
    const { tell, say } = await converse();
    await say(said);
    expect((await tell('the ground')).answer.asks).toMatch(/How high is your eye/);
  });
});

describe('the radius of a plot on a slope', () => {
  it('by level distance is longer up and down hill only: 37.2 and 41.6 feet at 50 percent', async () => {
    const { tell } = await converse();
    // 37.24 x sqrt(1 + 0.5^2) = 41.63.
    expect((await tell('plot one, tenth acre, slope fifty percent')).answer.reply).toMatch(
      /Radius 41\.6 feet up and down hill at 50 percent, 37\.2 feet across\.$/,
    );
  });

  it('laid on the slope is one for all directions: 39.4 feet (USFS Common Stand Exam, Appendix I, 50 to 51 percent)', async () => {
    const { tell, say } = await converse();
    await say('slope method on slope');
    expect((await tell('plot one, tenth acre, slope fifty percent')).answer.reply).toMatch(
      /Radius 39\.4 feet along the ground in every direction at 50 percent\.$/,
    );
  });

  it('on ground under ten percent is that of level ground', async () => {
    const { tell } = await converse();
    expect((await tell('plot one, tenth acre, slope five percent')).answer.reply).toMatch(
      /Radius 37\.2 feet\. Slope 5 percent\.$/,
    );
  });
});
