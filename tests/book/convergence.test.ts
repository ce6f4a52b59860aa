/**
 * Three devices and a server on a network that loses, repeats and delays: whatever is said where and however it
 * travels, all end with the same book and the same totals. The real page store and sync (on fake-indexeddb), the real
 * desk and addresses of the server. The law is that of replicated data types (Shapiro et al., Conflict-free replicated
 * data types, SSS 2011: strong eventual consistency).
 */
import { totalsOf } from '../../shared/book/totals-of.ts';
import { type DeviceId, deviceId } from '../../shared/note/journal.ts';
import 'fake-indexeddb/auto';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { PageStore } from '../../client/journal/indexeddb.ts';
import { Sync } from '../../client/journal/sync.ts';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import { Book } from '../../shared/book/book.ts';
import { Session } from '../../shared/dialogue/session.ts';
import type { Candidate, Note } from '../../shared/note/note.ts';
import { tongue } from '../support/conversation.ts';
import { fakeLanguage } from '../support/fakes.ts';
import { reader } from '../support/language.ts';
import { pictureOf } from './picture.ts';

/** What people say; invented. Corrections, takings back, settings, doubts and their answers, words, plots, stands. */
const sayings = [
  'i am linnet',
  'i am wren',
  'my pace is five point two feet',
  'twenty paces in one hundred and four feet',
  'eye height five foot four',
  'metric',
  'units feet',
  'stand mill lot, nine acres',
  'stand alder hollow, twelve acres',
  'stratum ridge, four acres',
  'plot one, tenth acre',
  'plot two, tenth acre',
  'plot three, factor ten',
  'slope thirty percent',
  'close plot',
  'empty plot',
  'red oak fourteen two, two logs',
  'red maple eleven',
  'sugar maple fourteen inches, dead',
  'fir twelve',
  'balsam fir',
  'call sugar maple hard rock',
  'call red oak hard rock',
  'hard rock thirteen inches',
  'twelve paces',
  'eleven and a half paces',
  'eighty paces',
  'eight',
  'keep it',
  'yes',
  'no',
  'stick spans, seventy feet',
  'stick spans, twenty',
  'make that nine paces',
  'that was beech',
  'tree one was sixteen inches',
  'tree one was eighteen inches',
  'tree two was beech',
  'scratch tree one',
  'scratch that',
  'scratch the last two',
  'measure again',
  'next tree',
  'same again',
  'beech, centre at thirty six feet, in or out',
  'remark fork at twenty feet',
] as const;

const places = [0, 1, 2] as const;

/** What happens to a request on its way: it may never arrive, or only its answer does not, or it arrives twice. */
type Fate = 'through' | 'lost' | 'answer lost' | 'twice' | 'twice, late';

interface Step {
  /** Who speaks or looks: a device, or someone at the server itself. */
  readonly at: 0 | 1 | 2 | 'server';
  readonly say: number | null;
  /** For a look at the server: one fate after another for its requests. */
  readonly fates: readonly Fate[];
  /** The device is switched off and on again before. */
  readonly restart: boolean;
  /** Minutes that the clock of the device jumps before. */
  readonly jump: number;
  /** It is said in answer to a question that another device put, where there is one. */
  readonly across: boolean;
}

const step: fc.Arbitrary<Step> = fc.record({
  at: fc.constantFrom<Step['at']>(0, 1, 2, 0, 1, 2, 'server'),
  say: fc.option(fc.nat({ max: sayings.length - 1 }), { freq: 3 }),
  fates: fc.array(
    fc.oneof(
      { weight: 3, arbitrary: fc.constant<Fate>('through') },
      { weight: 2, arbitrary: fc.constantFrom<Fate>('lost', 'answer lost', 'twice', 'twice, late') },
    ),
    { maxLength: 6 },
  ),
  restart: fc.boolean(),
  jump: fc.constantFrom(0, 0, 0, 7, -30),
  across: fc.boolean(),
});

/** Taught words are read here as they are once they were taught; the fold must bear them from whoever knows them. */
const taught: Readonly<Record<string, Note>> = {
  'hard rock thirteen inches': {
    kind: 'tree',
    facts: { species: 'hard rock', diameter: { value: 13, unit: 'in' } },
  },
};

function meanings(words: string): Candidate[] {
  const note = taught[words];
  if (note) return [{ notes: [note], words, posterior: 1 }];
  const read = reader.read(words);
  if (!read.ok) throw new Error(`"${words}": ${read.error.message}`);
  return read.value.map(({ notes, posterior }) => ({ notes, words, posterior }));
}

let books = 0;
let ids = 0;
const freshId = (time: number): string => {
  const hex = time.toString(16).padStart(12, '0');
  return `${hex.slice(0, 8)}-${hex.slice(8)}-7000-8000-${(++ids).toString(16).padStart(12, '0')}`;
};

class Device {
  readonly name: DeviceId;
  readonly #book = `book-${++books}`;
  #clock: number;
  store!: PageStore;
  session!: Session;

  constructor(
    at: number,
    readonly fetcher: (fates: Fate[]) => typeof fetch,
  ) {
    this.name = deviceId(`p-${at}`);
    this.#clock = Date.UTC(2026, 9, 1, 8, at);
  }

  async open(): Promise<this> {
    this.store = await PageStore.open(this.#book);
    const device = await this.store.device(() => this.name);
    this.session = await Session.open(this.store, tongue, {
      device,
      now: () => (this.#clock += 1000),
      id: freshId,
    });
    return this;
  }

  jump(minutes: number): void {
    this.#clock += minutes * 60_000;
  }

  async tell(words: string, across = false): Promise<void> {
    const { book } = this.session;
    const asked = across
      ? [...book.entries].find(({ id, device }) => device !== this.name && book.openQuestion(id) !== null)
      : undefined;
    await this.session.tell({ words, candidates: meanings(words), ...(asked ? { answers: asked.id } : {}) });
  }

  /** One look at the server; a network that fails is no failure here. */
  async look(fates: readonly Fate[]): Promise<boolean> {
    const session = this.session;
    const sync = new Sync({
      store: this.store,
      fetcher: this.fetcher([...fates]),
      onEntries: async () => void (await session.refresh()),
      onState: () => {},
    });
    const reached = await sync.once().then(
      () => true,
      () => false,
    );
    await session.refresh();
    return reached;
  }
}

async function world() {
  let clock = Date.UTC(2026, 9, 1, 8, 3);
  const desk = await Desk.open({
    store: new MemoryStore(),
    language: { ...fakeLanguage, tongue },
    now: () => (clock += 1000),
  });
  const app = createApp({ desk, version: '0', book: null, mounts: [], report: () => '' });
  const late: (() => Promise<unknown>)[] = [];
  const fetcher =
    (fates: Fate[]): typeof fetch =>
    async (path, init) => {
      const send = async () => {
        const response = await app.request(`http://localhost${path}`, init);
        if (!response.ok) throw new Error(`${path}: ${response.status} ${await response.text()}`);
        return response;
      };
      const fate = fates.shift() ?? 'through';
      if (fate === 'lost') throw new TypeError('network');
      const response = await send();
      if (fate === 'answer lost') throw new TypeError('network');
      if (fate === 'twice') await send();
      // A copy of the request that arrives when everything else has moved on.
      if (fate === 'twice, late') late.push(send);
      return response;
    };
  const devices = await Promise.all(places.map((at) => new Device(at, fetcher).open()));
  return { desk, devices, late };
}

/** Runs a history and lets all meet at its end. */
async function meeting(steps: readonly Step[]) {
  const { desk, devices, late } = await world();
  for (const { at, say, fates, restart, jump, across } of steps) {
    if (at === 'server') {
      if (say !== null)
        await desk.session.tell({ words: sayings[say]!, candidates: meanings(sayings[say]!) });
      continue;
    }
    const device = devices[at]!;
    device.jump(jump);
    if (restart) {
      await device.store.close();
      await device.open();
    }
    if (say === null) {
      // Two looks at once are two tabs: they share the store, not the session.
      await Promise.all([device.look(fates), ...(restart ? [device.look([...fates].reverse())] : [])]);
      if (late.length > 3) await late.shift()!();
    } else await device.tell(sayings[say]!, across);
  }
  for (const send of late) await send();
  for (let round = 0; round < 2; round++)
    for (const device of devices) expect(await device.look([])).toBe(true);
  return { desk, devices };
}

describe('three devices and a server', () => {
  it('law: whatever is said where and however it travels, all end with the same book and totals', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 3, maxLength: 45 }), async (steps) => {
        const { desk, devices } = await meeting(steps);
        const names = [...devices.map((device) => device.name), desk.store.device];
        const [first, ...others] = devices.map((device) => pictureOf(device.session.book, names));
        for (const other of others) expect(other).toEqual(first);
        expect(pictureOf(desk.session.book, names)).toEqual(first);
        // And as a book has it that never saw anything in between.
        const fresh = new Book();
        fresh.applyAll([...devices[0]!.session.book.entries].reverse());
        expect(pictureOf(fresh, names)).toEqual(first);
        for (const device of devices) await device.store.close();
      }),
      { numRuns: 40 },
    );
  });

  it('law: nothing that was said is lost', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(step, { minLength: 3, maxLength: 30 }), async (steps) => {
        const { devices } = await meeting(steps);
        const all = [...devices[0]!.session.book.entries];
        for (const [at, device] of devices.entries()) {
          const own = all.filter((entry) => entry.device === device.name).map((entry) => entry.seq);
          // Numbered from one without a gap, in the order of their times.
          expect(own).toEqual(own.map((_, index) => index + 1));
          expect(own.length).toBeLessThanOrEqual(
            steps.filter((one) => one.at === at && one.say !== null).length,
          );
        }
      }),
      { numRuns: 15 },
    );
  });

  it('law: a height is what its own device made of it, whatever the others said meanwhile', async () => {
    const speaking = fc.array(
      step.filter(({ say }) => say !== null && !/^(i am|tree|scratch tree)/.test(sayings[say]!)),
      { minLength: 3, maxLength: 40 },
    );
    await fc.assert(
      fc.asyncProperty(speaking, async (steps) => {
        const { devices } = await world();
        for (const { at, say } of steps) if (at !== 'server') await devices[at]!.tell(sayings[say!]!);
        const apart = new Map(
          devices.flatMap(({ session }) =>
            [...session.book.heights()].map((one) => [one.id, one.value?.feet ?? null]),
          ),
        );
        for (let round = 0; round < 2; round++) for (const device of devices) await device.look([]);
        for (const one of devices[0]!.session.book.heights())
          expect(one.value?.feet ?? null).toBe(apart.get(one.id));
      }),
      { numRuns: 30 },
    );
  });
});

describe('a question that was put on another device', () => {
  it('is answered with the pace of who asked and on their plot, and is closed there', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    for (const words of [
      'my pace is five point two feet',
      'eye height five foot four',
      'plot one, tenth acre',
    ])
      await a.tell(words);
    await a.tell('red oak fourteen two, two logs');
    await a.tell('eighty paces');
    await b.tell('my pace is six feet');
    await a.look([]);
    await b.look([]);
    const asked = a.session.book.deviceState(a.name).questions[0]!.entry;
    const told = await b.session.tell({ words: 'eight', candidates: meanings('eight'), answers: asked });
    // 8 x 5.2 + 5 1/3 = 46.9, not 8 x 6 + 5 1/3 = 53.3
    expect(told.answer.reply).toMatch(/^47 feet/);
    await b.look([]);
    await a.look([]);
    expect(a.session.question).toBeNull();
    const [tree] = [...a.session.book.trees()];
    expect(tree!.heightFt).toBeCloseTo(46.933, 3);
    expect(totalsOf(a.session.book).meanHeight({ plot: tree!.plot! }).value).toBeCloseTo(46.933, 3);
    expect(a.session.book.doubts.map((one) => one.state)).toEqual(['mended']);
    const late = await b.session.tell({ words: 'eight', candidates: meanings('eight'), answers: asked });
    expect(late.answer.reply).toBe('That was settled already.');
  });

  it('answered on both while apart is a doubt, as both answers stand', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    await a.tell('my pace is five point two feet');
    await a.tell('eye height five foot four');
    await a.tell('red oak fourteen two, two logs');
    await a.tell('eighty paces');
    await a.look([]);
    await b.look([]);
    const asked = a.session.book.deviceState(a.name).questions[0]!.entry;
    await a.tell('keep it');
    await b.session.tell({ words: 'eight', candidates: meanings('eight'), answers: asked });
    await a.look([]);
    await b.look([]);
    await a.look([]);
    const open = b.session.book.doubts.filter((one) => one.state === 'open');
    expect(open.map((one) => one.doubt.sentence)).toEqual([
      expect.stringMatching(
        /^"eighty paces" was answered on two devices .*Look what stands, and scratch one\.$/,
      ),
    ]);
  });
});

describe('what two devices say of one thing while they are apart', () => {
  const open = (device: Device) =>
    device.session.book.doubts.filter((one) => one.state === 'open').map((one) => one.doubt.sentence);
  const together = async (...devices: Device[]) => {
    for (let round = 0; round < 2; round++) for (const device of devices) await device.look([]);
  };

  it('becomes a doubt on both, and the later holds', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    await a.tell('red oak fourteen inches');
    await together(a, b);
    await a.tell('tree one was sixteen inches');
    await b.tell('tree one was eighteen inches');
    await together(a, b);
    const sentence =
      'The diameter of tree 1 was said on two devices that had not met: 16 inches, then 18 inches. The later one holds.';
    expect(open(a)).toEqual([sentence]);
    expect(open(b)).toEqual([sentence]);
    expect(a.session.book.treeNumbered(1)?.diameterIn).toBe(18);
    // Said again by someone who knows both, it is settled everywhere.
    await a.tell('tree one was seventeen inches');
    await together(a, b);
    expect([open(a), open(b)]).toEqual([[], []]);
    expect(b.session.book.treeNumbered(1)?.diameterIn).toBe(17);
  });

  it('is no doubt when one knew of the other, or when both said the same', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    await a.tell('red oak fourteen inches');
    await together(a, b);
    await a.tell('tree one was sixteen inches');
    await together(a, b);
    await b.tell('tree one was eighteen inches');
    await together(a, b);
    expect(open(a)).toEqual([]);
    await a.tell('tree one was nineteen inches');
    await b.tell('tree one was nineteen inches');
    await together(a, b);
    expect(open(b)).toEqual([]);
  });

  it('is told when one scratched what the other measured', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    await a.tell('red oak fourteen inches');
    await together(a, b);
    await a.tell('stick spans, seventy feet');
    await b.tell('scratch tree one');
    await together(a, b);
    expect(open(a)).toEqual([
      '"red oak fourteen inches" was changed on one device and then scratched on another that did not know it. It is out; say it again if it stands.',
    ]);
    expect(open(b)).toEqual(open(a));
  });

  it('is told of a plot number that two people used', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    await a.tell('plot one, tenth acre');
    await b.tell('plot one, tenth acre');
    await together(a, b);
    for (const { session } of [a, b])
      expect(
        totalsOf(session.book)
          .bookDoubts()
          .map((one) => one.sentence),
      ).toEqual(['Plot 1 is in the book twice.']);
  });

  it('is told of a word that was taught two meanings', async () => {
    const [a, b] = (await world()).devices as [Device, Device, Device];
    await a.tell('call sugar maple hard rock');
    await b.tell('call red oak hard rock');
    await together(a, b);
    expect(open(a)).toEqual([
      'The meaning of "hard rock" was said on two devices that had not met: sugar maple, then northern red oak. The later one holds.',
    ]);
  });
});
