/** The second look at accepted trees when a plot is closed. What is expected of them is by the tool's own curve. */
import { describe, expect, it } from 'vitest';
import { reportOf } from '../../shared/report/page/report.ts';
import { converse } from '../support/conversation.ts';
import { noon } from '../support/fakes.ts';

const oak = (inches: number, feet: number) => [`red oak ${inches} inches`, `laser ${feet} feet`] as const;
/** Ten oaks of one stand, 12 to 18 inches and 58 to 76 feet. */
const stand = [
  ...oak(12, 58),
  ...oak(13, 62),
  ...oak(14, 64),
  ...oak(15, 66),
  ...oak(16, 70),
  ...oak(13, 60),
  ...oak(17, 73),
  ...oak(18, 76),
  ...oak(14, 66),
  ...oak(15, 69),
] as const;

async function story(...notes: string[]) {
  const all = await converse();
  for (const note of notes) {
    const { answer } = await all.tell(note);
    // Whatever was asked about is kept: this is about what was accepted.
    if (answer.state === 'asking') await all.tell('keep it');
  }
  return all;
}

describe('a second look', () => {
  it('tells of a first tree of 112 feet when the stand turns out to be of 70', async () => {
    const { tell, session } = await story('plot one, tenth acre', ...oak(14, 108), ...stand);
    const doubted = session.book.doubts.some(({ state }) => state === 'kept');
    expect(doubted, 'the first tree was accepted without a question').toBe(false);
    const { answer } = await tell('close plot');
    expect(answer.reply).toMatch(
      /^Plot 1 closed: 11 trees\. Next is plot 2\. Look again at tree 1: 108 feet at 14(\.0)? inches, where a northern red oak here comes to about 65( feet)?\.$/,
    );
    expect((await tell('doubts')).answer.reply).toMatch(/Tree 1: 108 feet at 14/);
  });

  it('says nothing of a plot whose trees fit each other', async () => {
    const { tell } = await story('plot one, tenth acre', ...stand);
    expect((await tell('close plot')).answer.reply).toBe('Plot 1 closed: 10 trees. Next is plot 2.');
  });

  it('tells of a tree once, and of one that was measured again no more', async () => {
    const { tell, say, session } = await story('plot one, tenth acre', ...oak(14, 108), ...stand);
    await say('close plot', 'plot two, tenth acre', 'red oak fifteen inches', 'laser 68 feet');
    expect((await tell('close plot')).answer.reply).not.toContain('Look again');
    const looks = () => session.book.doubts.filter(({ doubt }) => doubt.code === 'secondLook');
    expect(looks().map(({ state }) => state)).toEqual(['open']);
    await say('tree one was 24 inches');
    expect(looks().map(({ state }) => state)).toEqual(['mended']);
  });

  it('is settled by "keep", and dropped with the tree', async () => {
    const kept = await story('plot one, tenth acre', ...oak(14, 108), ...stand, 'close plot');
    await kept.say('keep it');
    expect(kept.session.book.doubts.at(-1)?.state).toBe('kept');
    const scratched = await story('plot one, tenth acre', ...oak(14, 108), ...stand, 'close plot');
    await scratched.say('scratch tree one');
    expect(scratched.session.book.doubts.at(-1)?.state).toBe('dropped');
  });

  it('is taken when the next plot is opened without closing', async () => {
    const { tell } = await story('plot one, tenth acre', ...oak(14, 108), ...stand);
    expect((await tell('plot two, tenth acre')).answer.reply).toMatch(/Look again at tree 1/);
  });

  it('does not look at a tree of which the person said that it is right', async () => {
    const { tell, session } = await story('plot one, tenth acre', ...oak(14, 160), ...stand);
    expect(session.book.doubts.some(({ state }) => state === 'kept')).toBe(true);
    expect((await tell('close plot')).answer.reply).not.toContain('Look again');
  });

  it('is taken of the whole book when the day ends: who asks for the doubts hears of a first tree of 112 feet that stands on no plot', async () => {
    const { tell, session } = await story(...oak(14, 112), ...stand);
    expect((await tell('doubts')).answer.reply).toMatch(
      /^1 open\. Tree 1: 112 feet at 14(\.0)? inches, where/,
    );
    // It is registered: asked again it is one of those that are open, and "keep it" settles it.
    const looks = () => session.book.doubts.filter(({ doubt }) => doubt.code === 'secondLook');
    expect(looks().map(({ state }) => state)).toEqual(['open']);
    expect((await tell('doubts')).answer.reply).toMatch(/^1 open\. Tree 1:/);
    await tell('keep it');
    expect((await tell('doubts')).answer.reply).not.toContain('Tree 1: 112 feet at');
  });

  it('is told to who stops listening, once', async () => {
    const { tell } = await story(...oak(14, 108), ...stand);
    expect((await tell('stop listening')).answer.reply).toMatch(
      /^Not listening\. Tap to wake me\. Look again at tree 1: 108 feet/,
    );
    await tell('start listening');
    expect((await tell('stop listening')).answer.reply).toBe('Not listening. Tap to wake me.');
  });

  it('stands in the report also where nobody asked', async () => {
    const { session } = await story(...oak(14, 108), ...stand);
    const report = reportOf({ book: session.book, answers: [], made: noon() });
    const doubts = [...report.sections.find(({ heading }) => heading === 'Doubts')!.table!.rows];
    expect(doubts.map((row) => row.slice(1, 3).join(': ')).join()).toMatch(/1: Look again: 108 feet at 14/);
  });

  it('judges a diameter as well as a height: 24 inches of a tree that is 64 feet tall', async () => {
    const { tell } = await story('plot one, tenth acre', ...oak(36, 64), ...stand);
    expect((await tell('close plot')).answer.reply).toMatch(/Look again at tree 1: 64 feet at 36/);
  });
});
