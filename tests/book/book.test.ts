/** Laws of the book: the same entries give the same book, however they arrive; a correction is as if said right. */

import fc from 'fast-check';
import { beforeAll, describe, expect, it } from 'vitest';
import { grammar } from '../../grammar/description/grammar.ts';
import { parseDescription } from '../../grammar/description/syntax.ts';
import { createSampler } from '../../grammar/writing/sample.ts';
import { Book } from '../../shared/book/book.ts';
import { firstSettings, withSetting } from '../../shared/book/settings.ts';
import { totalsOf } from '../../shared/book/totals-of.ts';
import { seeded } from '../../shared/core/random.ts';
import { withUnits } from '../../shared/dialogue/heights.ts';
import { measure } from '../../shared/measuring/height/index.ts';
import {
  type DeviceId,
  deviceId,
  type Entry,
  entrySchema,
  MemoryJournal,
} from '../../shared/note/journal.ts';
import { type Conversation, clock, converse, ids } from '../support/conversation.ts';

/** What a person might say in a morning, in any order. Invented. */
const sayings = [
  'my pace is five point two feet',
  'twenty paces in one hundred and four feet',
  'eye height five foot four',
  'plot one, tenth acre',
  'plot two, tenth acre',
  'close plot',
  'empty plot',
  'red oak fourteen two, two logs',
  'red maple eleven',
  'fir twelve',
  'balsam fir',
  'sugar maple fourteen inches, dead',
  'twelve paces',
  'eleven and a half paces',
  'eighty paces',
  'eight',
  'yes',
  'no',
  'keep it',
  'make that nine paces',
  'that was beech',
  'tree one was sixteen inches',
  'scratch that',
  'scratch the last two',
  'measure again',
  'next tree',
  'same again',
  'stick spans, seventy feet',
  'metric',
  'units feet',
  'stand mill lot, nine acres',
  'beech, centre at thirty six feet, in or out',
  'remark fork at twenty feet',
] as const;

/** Everything that can be read off a book, for comparing two. */
function picture(book: Book, devices: readonly DeviceId[]): unknown {
  return {
    trees: [...book.trees()].map(({ heightFt, heightSdFt, ...tree }) => ({
      ...tree,
      heightFt: heightFt === null ? null : heightFt.toFixed(9),
      heightSdFt: heightSdFt === null ? null : heightSdFt.toFixed(9),
    })),
    plots: [...book.plots()],
    stands: [...book.stands.values()],
    settings: devices.map((device) => book.settingsOf(device)),
    doubts: book.doubts,
    remarks: book.remarks,
    words: book.words,
    hands: devices.map((device) => book.deviceState(device)),
    area: totalsOf(book).basalArea({ status: 'all' }).value?.toFixed(9),
    count: totalsOf(book).trees().value,
    guess: book.curve.predict(833, 14).feet.toFixed(6),
  };
}

const devices = ['device-1', 'device-2'].map(deviceId);

/** Two people talk to books of their own; their entries are what both journals then hold. */
async function entriesOf(turns: readonly (readonly [device: 0 | 1, saying: number])[]): Promise<Entry[]> {
  const people = await Promise.all(
    [1, 2].map((device) =>
      converse({
        journal: new MemoryJournal(),
        device,
        id: ids(device),
        now: clock(Date.UTC(2026, 9, 1, 8, device)),
      }),
    ),
  );
  for (const [device, saying] of turns) await people[device]!.tell(sayings[saying]!);
  return people.flatMap((person: Conversation) => [...person.session.book.entries]);
}

const turns = fc.array(
  fc.tuple(fc.constantFrom(0 as const, 1 as const), fc.nat({ max: sayings.length - 1 })),
  { minLength: 1, maxLength: 40 },
);

describe('several people in one book', () => {
  /** Two people who met nobody, and the book that both devices have after they did. */
  async function apart(first: readonly string[], second: readonly string[]): Promise<Book> {
    const both = await Promise.all(
      [first, second].map(async (lines, at) => {
        const person = await converse({ device: at + 1, now: clock(Date.UTC(2026, 9, 1, 8, at)) });
        for (const line of lines) await person.tell(line);
        return [...person.session.book.entries];
      }),
    );
    const book = new Book();
    book.applyAll(both.flat());
    return book;
  }
  const feet = (book: Book) =>
    [...book.heights()].map((height) => (height.value ? Number(height.value.feet.toFixed(6)) : null));

  it('never measure with the pace or the eye of the other', async () => {
    const book = await apart(
      ['my pace is five feet', 'eye height five feet', 'ten paces'],
      ['my pace is six feet', 'eye height six feet', 'ten paces'],
    );
    // 10 x 5 + 5 and 10 x 6 + 6
    expect(feet(book)).toEqual([55, 66]);
  });

  it('leave a height waiting whose own pace was never said', async () => {
    const book = await apart(['my pace is five feet', 'eye height five feet'], ['ten paces, eye five feet']);
    expect(feet(book)).toEqual([null]);
  });

  it('ask about the stand, the plots and the strata in their own hand, not those that another named last', async () => {
    const journal = new MemoryJournal();
    const now = clock();
    const [one, two] = [
      await converse({ journal, device: 1, now }),
      await converse({ journal, device: 2, now }),
    ];
    const plot = (acres: string, ...trees: string[]) => [
      `stratum ridge, ${acres} acres`,
      'plot one, tenth acre',
      ...trees,
      'close plot',
    ];
    await one.say('stand alder hollow, twelve acres', ...plot('seven', 'red oak sixteen inches'));
    await two.session.refresh();
    await two.say(
      'stand mill lot, forty acres',
      ...plot('nine', 'red maple twelve inches', 'beech nine inches'),
    );
    await one.session.refresh();
    expect(await one.say('how many trees')).toBe('1 tree.');
    expect(await two.say('how many trees')).toBe('2 trees.');
    expect(await one.say('how many trees on plot one')).toBe('1 tree on plot 1.');
    expect(await two.say('how many trees in stratum ridge')).toBe('2 trees in Ridge.');
    expect(await one.say('how many trees in stratum ridge')).toBe('1 tree in Ridge.');
    // A stratum that only the other stand has is meant where it is.
    await two.say(
      'stratum bottom, five acres',
      'plot two, tenth acre',
      'sugar maple ten inches',
      'close plot',
    );
    await one.session.refresh();
    expect(await one.say('how many trees in stratum bottom')).toBe('1 tree in Bottom.');
  });

  it('are told of what others said, and of nothing that they said themselves', async () => {
    const journal = new MemoryJournal();
    const now = clock();
    const [one, two] = [
      await converse({ journal, device: 1, now }),
      await converse({ journal, device: 2, now }),
    ];
    await one.say('red oak sixteen inches');
    await two.say('red maple twelve inches');
    const words = async ({ session }: typeof one) => (await session.refresh()).map((entry) => entry.words);
    expect(await words(one)).toEqual(['red maple twelve inches']);
    expect(await words(two)).toEqual(['red oak sixteen inches']);
    expect([await words(one), await words(two)]).toEqual([[], []]);
  });

  it('share a pace between devices where the same person is named on both', async () => {
    const book = await apart(
      ['i am linnet', 'my pace is five feet', 'eye height five feet'],
      ['i am linnet', 'ten paces'],
    );
    expect(feet(book)).toEqual([55]);
  });

  it('keep bare numbers in the units in which they were said', async () => {
    const book = await apart(['metric'], ['stick spans, seventy']);
    expect(feet(book)[0]).toBe(70);
  });

  it('law: a bare number means what it did, whatever units come later', () => {
    const sampler = createSampler(parseDescription(grammar));
    const random = seeded(5);
    const settings = (units: 'feet' | 'metres') => ({
      ...firstSettings,
      ...withSetting(withSetting(firstSettings, { what: 'pace', feet: 5.3 }), { what: 'eye', feet: 5.5 }),
      units,
    });
    let measured = 0;
    for (let drawn = 0; drawn < 3000; drawn++) {
      const { note } = sampler.sample(random);
      if (note.kind !== 'height') continue;
      for (const [units, other] of [
        ['feet', 'metres'],
        ['metres', 'feet'],
      ] as const) {
        const then = measure(note.height, settings(units));
        if (!then.ok) continue;
        const later = measure(withUnits(note.height, units), settings(other));
        expect(later.ok && later.value.feet).toBeCloseTo(then.value.feet, 9);
        measured++;
      }
    }
    expect(measured).toBeGreaterThan(200);
  });

  it('stay each in the stand that they named, and in one where both named it', async () => {
    const book = await apart(
      ['stand mill lot, nine acres', 'plot one, tenth acre', 'plot two, tenth acre'],
      [
        'stand alder hollow, twelve acres',
        'plot one, tenth acre',
        'stand mill lot, nine acres',
        'plot five, tenth acre',
      ],
    );
    const name = (id: string | null) => book.stands.get(id ?? '')?.name;
    expect([...book.plots()].map((plot) => [plot.number, name(plot.stand)]).sort()).toEqual([
      [1, 'alder hollow'],
      [1, 'mill lot'],
      [2, 'mill lot'],
      [5, 'mill lot'],
    ]);
    expect([...book.stands.values()].map(({ name, acres }) => [name, acres]).sort()).toEqual([
      ['alder hollow', 12],
      ['mill lot', 9],
    ]);
  });
});

describe('the book', () => {
  it('is the same in whatever order its entries arrive, and however often', async () => {
    await fc.assert(
      fc.asyncProperty(turns, fc.array(fc.nat(), { maxLength: 80 }), async (said, order) => {
        const entries = await entriesOf(said);
        const straight = new Book();
        straight.applyAll(entries);
        const shuffled = new Book();
        const mixed = entries
          .map((entry, at) => ({ entry, key: order[at % Math.max(1, order.length)] ?? at }))
          .sort((a, b) => a.key - b.key)
          .map(({ entry }) => entry);
        for (const entry of mixed) shuffled.apply(structuredClone(entry));
        for (const entry of mixed) shuffled.apply(entry);
        expect(picture(shuffled, devices)).toEqual(picture(straight, devices));
      }),
      { numRuns: 60 },
    );
  });

  it('grown entry by entry equals a replay of all', async () => {
    await fc.assert(
      fc.asyncProperty(turns, async (said) => {
        const entries = await entriesOf(said.map(([, saying]) => [0, saying] as const));
        const grown = new Book();
        for (const entry of entries) grown.apply(entry);
        const before = picture(grown, devices);
        grown.replay();
        expect(picture(grown, devices)).toEqual(before);
      }),
      { numRuns: 60 },
    );
  });

  it('only ever makes entries that its own schema takes', async () => {
    await fc.assert(
      fc.asyncProperty(turns, async (said) => {
        for (const entry of await entriesOf(said)) expect(entrySchema.safeParse(entry).success).toBe(true);
      }),
      { numRuns: 30 },
    );
  });

  it('holds no number that is not finite', async () => {
    await fc.assert(
      fc.asyncProperty(turns, async (said) => {
        const entries = await entriesOf(said);
        expect(JSON.stringify(entries)).not.toMatch(/null,"unit"|NaN|Infinity/);
        const book = new Book();
        book.applyAll(entries);
        for (const tree of book.trees()) {
          for (const value of [tree.diameterIn, tree.heightFt, tree.heightSdFt])
            if (value !== null) expect(Number.isFinite(value)).toBe(true);
        }
      }),
      { numRuns: 30 },
    );
  });
});

describe('a correction', () => {
  let wrong: Conversation;
  let right: Conversation;
  beforeAll(async () => {
    wrong = await converse();
    right = await converse();
    const start = ['my pace is five point two feet', 'eye height five foot four', 'plot one, tenth acre'];
    await wrong.say(
      ...start,
      'red oak thirteen, two logs',
      'tree one was fourteen inches',
      'twelve paces',
      'make that eleven paces',
      'beech nine',
      'that was red maple',
      'beech twenty',
      'scratch that',
    );
    await right.say(...start, 'red oak fourteen, two logs', 'eleven paces', 'red maple nine');
  });

  it('leaves totals and heights as if it had been said right', () => {
    const values = ({ session: { book } }: Conversation): unknown => ({
      trees: [...book.trees()].map(({ number, species, diameterIn, logs, heightFt }) => ({
        number,
        species,
        diameterIn,
        logs,
        heightFt,
      })),
      area: totalsOf(book).basalArea().value?.toFixed(9),
      doyle: totalsOf(book).volumePerAcre('doyle').value?.toFixed(6),
      mean: totalsOf(book).meanHeight().value?.toFixed(9),
      guess: book.curve.predict(833, 12).feet.toFixed(6),
    });
    expect(values(wrong)).toEqual(values(right));
  });
});
