/** Hands-free in the page: what is heard, what waits for an ear, half-duplex with the voice, a worker that dies. */
import { nothingBefore } from '../../shared/dialogue/told-before.ts';
import 'fake-indexeddb/auto';
import { describe, expect, test, vi } from 'vitest';
import { Conversation } from '../../client/conversation/conversation.ts';
import { deaf, type PageHearing, type Pcm } from '../../client/conversation/ear.ts';
import { Messenger, type WorkerRequest } from '../../client/conversation/messenger.ts';
import type { Preferences } from '../../client/device/preferences.ts';
import type { Earcon } from '../../client/ear/earcons.ts';
import { HandsFree } from '../../client/ear/hands-free.ts';
import type { ListeningClient } from '../../client/ear/listening-client.ts';
import { PushToTalk } from '../../client/ear/push-to-talk.ts';
import { PageStore } from '../../client/journal/indexeddb.ts';
import type { ClipResult, HeardClip } from '../../grammar/decoding/clip-result.ts';
import { err, ok } from '../../shared/core/result.ts';
import type { Told } from '../../shared/dialogue/types.ts';
import type { Note } from '../../shared/note/note.ts';

const nine: Note = {
  kind: 'height',
  height: { method: 'stick', distance: { by: 'paces', count: 9 }, eye: { value: 5, unit: 'ft' } },
};
const heardAs = (note: Note, words: string): HeardClip => ({
  candidates: [{ notes: [note], words, posterior: 0.97 }],
  facts: { margin: 1, posterior: 0.97 },
});
const pcm = (length = 1600): Pcm => new Int16Array(length);
let count = 0;

/** A host on a browser's store, without a server, with an ear that says what it is told to say. */
async function page(name = `free-${++count}`) {
  const ear: PageHearing & { says: ClipResult; asked: number } = {
    says: deaf('No ear.'),
    asked: 0,
    async hear() {
      this.asked++;
      return this.says;
    },
  };
  const store = await PageStore.open(name);
  const conversation = await Conversation.open({
    store,
    language: {
      tongue: { version: 'fake', speak: (note) => note.kind, hints: () => [], help: () => '' },
      read: async (words) => ok([{ notes: [nine], words, posterior: 1 }]),
      teach: async () => {},
      warm() {},
    },
    fetcher: (async () => {
      throw new TypeError('no network');
    }) as typeof fetch,
    ownEar: () => ear,
  });
  return { conversation, store, ear };
}

describe('a clip that was cut hands-free', () => {
  test('is answered, and its sound is kept with the entry', async () => {
    const { conversation, store } = await page();
    await conversation.hearFree(pcm(3200), heardAs(nine, 'nine paces'));
    const [line] = conversation.lines;
    expect(line).toMatchObject({ words: 'nine paces', how: 'spoken' });
    const entry = conversation.book.entries.at(0)!;
    expect((await store.clip(entry.heard!.clip!))?.length).toBe(3200);
  });

  test('without an ear waits without a word in the conversation, and is answered once when there is one', async () => {
    const { conversation, store, ear } = await page();
    await conversation.hear(pcm(), true);
    expect(conversation.lines).toEqual([]);
    expect(conversation.notices.get('waiting')).toMatch(
      /^One sound is kept and answered when there is an ear again/,
    );
    await conversation.hearWaiting();
    expect((await store.waiting()).length).toBe(1);
    ear.says = ok(heardAs(nine, 'nine paces'));
    await Promise.all([conversation.hearWaiting(), conversation.hearWaiting()]);
    await conversation.hearWaiting();
    expect([...conversation.book.entries].map((entry) => entry.words)).toEqual(['nine paces']);
    expect(conversation.notices.has('waiting')).toBe(false);
    expect(await store.waiting()).toEqual([]);
  });

  test('that turns out to be no note is let go without a word', async () => {
    const { conversation, store, ear } = await page();
    await conversation.hear(pcm(), true);
    ear.says = err({ kind: 'unclear', message: 'That was no note.' });
    await conversation.hearWaiting();
    await conversation.hear(pcm(), true);
    expect(conversation.lines).toEqual([]);
    expect(conversation.book.entries.length).toBe(0);
    expect(await store.waiting()).toEqual([]);
  });

  test('whose page is closed after the note was kept and before the sound was let go gives one entry', async () => {
    const { conversation, store, ear } = await page('closed-between');
    await conversation.hear(pcm(), true);
    ear.says = ok(heardAs(nine, 'nine paces'));
    vi.spyOn(store, 'dropWaiting').mockRejectedValueOnce(new Error('closed'));
    await conversation.hearWaiting().catch(() => undefined);
    expect(conversation.book.entries.length).toBe(1);
    expect((await store.waiting()).length).toBe(1);
    conversation.close();
    const again = await page('closed-between');
    again.ear.says = ok(heardAs(nine, 'nine paces'));
    await again.conversation.hearWaiting();
    expect(again.conversation.book.entries.length).toBe(1);
    expect(await again.store.waiting()).toEqual([]);
  });
});

/** Talking with a voice that says how long it speaks, an ear that notes how it is asked to listen. */
function talk() {
  const attended: string[] = [];
  const played: Earcon[] = [];
  /** Ends of what was said, in order. */
  const ends: (() => void)[] = [];
  let tell: (event: never) => void = () => {};
  const conversation = {
    settings: { quiet: false, rate: 1, wakeWord: null },
    notice: () => {},
    hearFree: async () => {},
    hear: async () => {},
    hearWaiting: async () => {},
    onReply: (_: Told) => {},
  };
  const microphone = { listen: async () => {}, leave() {} };
  const free = new HandsFree({
    conversation: conversation as never,
    microphone: microphone as never,
    openEar: async (parts): Promise<ListeningClient> => {
      tell = parts.tell as never;
      return { kind: 'page', push() {}, attend: (way) => void attended.push(way), close() {} };
    },
    openBare: () => ({ kind: 'none', push() {}, attend() {}, close() {} }),
  });
  const voice = {
    speaking: false,
    hushed: 0,
    say: () =>
      new Promise<void>((resolve) => {
        ends.push(resolve);
      }),
    hush() {
      this.hushed++;
      ends.at(-1)?.();
    },
  };
  const prefs = { sounds: false, buzz: false, mute: false, said: 'all', rate: 1 } as Preferences;
  const pushToTalk = new PushToTalk({
    conversation: conversation as never,
    voice,
    earcons: { play: (earcon) => void played.push(earcon) },
    prefs: () => prefs,
    free,
    microphone: microphone as never,
  });
  const reply = (text: string, note: Note | null = nine) =>
    pushToTalk.reply({ answer: { note, state: 'kept', reply: text } } as never);
  return {
    pushToTalk,
    free,
    voice,
    prefs,
    attended,
    played,
    reply,
    ends,
    tell: (event: object) => tell(event as never),
  };
}
const long =
  'The stand has forty two trees on six plots, and the mean height is sixty one feet, give or take four.';

describe('half-duplex', () => {
  test('nothing is listened to while a short reply is spoken, and everything after it', async () => {
    const { pushToTalk, free, attended, reply, ends } = talk();
    await pushToTalk.listen();
    reply('48 feet.');
    expect(attended.at(-1)).toBe('muted');
    expect(free.state).toBe('held');
    ends[0]!();
    await expect.poll(() => attended.at(-1)).toBe('open');
    expect(free.state).toBe('listening');
  });

  test('a long reply may be spoken over: the voice stops and what is said is listened to', async () => {
    const { pushToTalk, free, voice, attended, reply, tell } = talk();
    await pushToTalk.listen();
    reply(long);
    expect(attended.at(-1)).toBe('guarded');
    const hushed = voice.hushed;
    tell({ kind: 'interrupted' });
    expect(voice.hushed).toBe(hushed + 1);
    expect(free.state).toBe('speech');
    await new Promise((resolve) => setTimeout(resolve, 250));
    expect(free.state).toBe('speech');
  });

  test("a second reply keeps the first one's end from opening the ear", async () => {
    const { pushToTalk, attended, reply, ends } = talk();
    await pushToTalk.listen();
    reply('48 feet.');
    reply('Kept.');
    ends[0]!();
    await new Promise((resolve) => setTimeout(resolve, 300));
    expect(attended.at(-1)).toBe('muted');
    ends[1]!();
    await expect.poll(() => attended.at(-1)).toBe('open');
  });

  test('the end of the sounds does not open the ear under the voice', async () => {
    const { pushToTalk, prefs, attended, reply } = talk();
    await pushToTalk.listen();
    prefs.sounds = true;
    reply('48 feet.');
    await new Promise((resolve) => setTimeout(resolve, 700));
    expect(attended.at(-1)).toBe('muted');
  });

  test('a reply waits for the note that is being said already', async () => {
    const { pushToTalk, free, attended, ends, reply, tell } = talk();
    await pushToTalk.listen();
    tell({ kind: 'speech', speaking: true });
    reply('48 feet.');
    await new Promise((resolve) => setTimeout(resolve, 200));
    expect(free.state).toBe('speech');
    expect(ends.length).toBe(0);
    tell({ kind: 'speech', speaking: false });
    await expect.poll(() => ends.length).toBe(1);
    expect(attended.at(-1)).toBe('muted');
  });

  test('a reply that only sounds mutes for the sounds', async () => {
    const { pushToTalk, prefs, played, attended, reply } = talk();
    await pushToTalk.listen();
    prefs.sounds = true;
    prefs.mute = true;
    reply('48 feet.');
    expect(played).toEqual(['kept']);
    expect(attended.at(-1)).toBe('muted');
    await expect.poll(() => attended.at(-1)).toBe('open');
  });

  test('"stop listening" and "start listening" do what they say', async () => {
    const { free, reply } = talk();
    reply('Listening.', { kind: 'control', op: 'start' });
    await expect.poll(() => free.on).toBe(true);
    reply('I stop listening.', { kind: 'control', op: 'stop' });
    expect(free.on).toBe(false);
  });
});

/** A worker that answers by rule. */
class FakeWorker extends EventTarget {
  terminated = false;
  constructor(readonly answer: (request: WorkerRequest, worker: FakeWorker) => void) {
    super();
  }
  postMessage(request: WorkerRequest): void {
    queueMicrotask(() => this.answer(request, this));
  }
  reply(data: object): void {
    this.dispatchEvent(Object.assign(new Event('message'), { data }));
  }
  terminate(): void {
    this.terminated = true;
  }
}
const echo = ({ id, task }: WorkerRequest, worker: FakeWorker) => worker.reply({ id, ok: true, value: task });
const die = (_: WorkerRequest, worker: FakeWorker) => worker.dispatchEvent(new Event('error'));

describe('the worker of the page', () => {
  const started: FakeWorker[] = [];
  const messenger = (...rules: ((request: WorkerRequest, worker: FakeWorker) => void)[]) => {
    started.length = 0;
    return new Messenger(() => {
      const worker = new FakeWorker(rules[Math.min(started.length, rules.length - 1)]!);
      started.push(worker);
      return worker as unknown as Worker;
    });
  };

  test('that breaks is replaced; who waited is told, who comes is answered', async () => {
    const messages = messenger(die, echo);
    const restarted = vi.fn();
    messages.onRestart.push(restarted);
    const both = await Promise.allSettled([
      messages.call('leave', null),
      messages.call('read', { words: 'x', before: nothingBefore }),
    ]);
    for (const one of both)
      expect(one).toMatchObject({ reason: { message: expect.stringMatching(/started again: it broke/) } });
    expect(restarted).toHaveBeenCalledOnce();
    expect(started[0]!.terminated).toBe(true);
    expect(await messages.call('leave', null)).toBe('leave');
  });

  test('that hangs is replaced', async () => {
    vi.useFakeTimers();
    const messages = messenger(() => {}, echo);
    const hung = messages.call('hear', new Float32Array(1)).catch((cause: Error) => cause.message);
    await vi.advanceTimersByTimeAsync(21_000);
    expect(await hung).toMatch(/started again: it did not answer/);
    vi.useRealTimers();
    expect(await messages.call('leave', null)).toBe('leave');
  });

  test('that breaks again and again is given up with a sentence', async () => {
    const messages = messenger(die);
    const said: string[] = [];
    for (let i = 0; i < 4; i++)
      said.push(await messages.call('leave', null).then(String, (cause: Error) => cause.message));
    expect(started.length).toBe(3);
    expect(said.slice(2)).toEqual(Array(2).fill(expect.stringMatching(/again and again\. Reload the page/)));
  });
});
