/** The talk button: hold or tap, and what the device does in the middle of it. No word is lost, and none is made up. */
import { afterEach, describe, expect, test, vi } from 'vitest';
import type { Preferences } from '../../client/device/preferences.ts';
import type { MicrophoneListener } from '../../client/ear/microphone.ts';
import { PushToTalk } from '../../client/ear/push-to-talk.ts';

// Files that run in this process after it need a clock that goes by itself.
afterEach(() => {
  vi.useRealTimers();
});

/** A button with a microphone that gives a tone as long as it is listened to, and a clock that is turned by hand. */
function button() {
  vi.useFakeTimers();
  const heard: number[] = [];
  const said: string[] = [];
  const notices = new Map<string, string | null>();
  const microphone = {
    listener: null as MicrophoneListener | null,
    open: async () => {},
    async listen(listener: MicrophoneListener) {
      await this.open();
      this.listener = listener;
    },
    leave() {
      this.listener = null;
    },
  };
  const free = { state: 'off', on: false, attend() {}, start: async () => {}, stop() {} };
  const trees = new Map([
    ['t-4', { number: 4 }],
    ['t-5', { number: 5 }],
  ]);
  const pushToTalk = new PushToTalk({
    conversation: {
      settings: { quiet: false, rate: 1 },
      notice: (key: string, sentence: string | null) => void notices.set(key, sentence),
      hear: async (pcm: Int16Array) => void heard.push(pcm.length / 16_000),
      book: { tree: (id: string | null) => trees.get(id ?? '') },
      onReply: () => {},
    } as never,
    voice: {
      speaking: false,
      say: async (sentence) => void said.push(sentence),
      hush() {},
    },
    earcons: { play() {} },
    prefs: () => ({ sounds: false, buzz: false, mute: false, said: 'all', rate: 1 }) as Preferences,
    free: free as never,
    microphone: microphone as never,
  });
  return {
    pushToTalk,
    microphone,
    free,
    heard,
    said,
    notices,
    /** Lets time go by; the microphone gives a block every hundredth of a second. */
    async pass(milliseconds: number) {
      for (let at = 0; at < milliseconds; at += 10) {
        await vi.advanceTimersByTimeAsync(10);
        microphone.listener?.block(new Float32Array(160).fill(0.1), 16_000);
      }
    },
    answer: (reply: string, tree: string | null = null) =>
      pushToTalk.reply({
        answer: { note: null, state: 'kept', reply },
        entry: tree === null ? null : { acts: [{ act: 'height', tree }] },
      } as never),
  };
}

describe('hold', () => {
  test('what is said between press and release is heard', async () => {
    const { pushToTalk, pass, heard } = button();
    await pushToTalk.press();
    await pass(1500);
    void pushToTalk.release();
    await pass(300);
    expect(heard).toHaveLength(1);
    expect(heard[0]).toBeCloseTo(1.6, 0);
    expect(pushToTalk.state).toBe('idle');
  });

  test('a hold that the device ends after half a second counts as let go', async () => {
    const { pushToTalk, pass, heard, notices } = button();
    await pushToTalk.press();
    await pass(1500);
    void pushToTalk.interrupt();
    await pass(300);
    expect(heard[0]).toBeGreaterThan(1.4);
    expect(notices.get('talk')).toBe(null);
  });

  test('one that it ends before says that nothing was said', async () => {
    const { pushToTalk, pass, heard, notices } = button();
    await pushToTalk.press();
    await pass(350);
    void pushToTalk.interrupt();
    await pass(300);
    expect(heard).toEqual([]);
    expect(notices.get('talk')).toMatch(/before anything was said\. Hold the button, or tap it/);
    expect(pushToTalk.state).toBe('idle');
  });

  test('a microphone that a call takes in the middle gives what was said until then', async () => {
    const { pushToTalk, microphone, pass, heard } = button();
    await pushToTalk.press();
    await pass(1200);
    microphone.listener!.paused!(true);
    await pass(300);
    expect(heard).toHaveLength(1);
  });

  test('a page that goes out of sight hears what was said, then lets the microphone go', async () => {
    const { pushToTalk, microphone, pass, heard } = button();
    await pushToTalk.press();
    await pass(1200);
    void pushToTalk.rest();
    await pass(400);
    expect(heard).toHaveLength(1);
    expect(microphone.listener).toBe(null);
  });

  test('let go while the browser asks for the microphone: it is said that it is open now', async () => {
    const { pushToTalk, microphone, pass, notices } = button();
    let allow: () => void = () => {};
    microphone.open = () =>
      new Promise((resolve) => {
        allow = resolve;
      });
    const pressing = pushToTalk.press();
    await pass(2000);
    void pushToTalk.release();
    allow();
    await pressing;
    expect(notices.get('talk')).toMatch(/^The microphone is open now/);
    expect(pushToTalk.state).toBe('idle');
  });
});

describe('tap', () => {
  test('a tap begins, the next tap ends, and everything between is heard', async () => {
    const { pushToTalk, pass, heard } = button();
    await pushToTalk.press();
    await pass(120);
    await pushToTalk.release();
    expect(pushToTalk).toMatchObject({ state: 'talking', tapped: true });
    await pass(2000);
    void pushToTalk.press();
    void pushToTalk.release();
    await pass(300);
    expect(heard[0]).toBeCloseTo(2.2, 0);
    expect(pushToTalk).toMatchObject({ state: 'idle', tapped: false });
  });

  test('a tap that is forgotten ends by itself and is heard', async () => {
    const { pushToTalk, pass, heard } = button();
    await pushToTalk.press();
    await pass(100);
    await pushToTalk.release();
    await pass(121_000);
    expect(heard).toHaveLength(1);
    expect(pushToTalk.state).toBe('idle');
  });
});

describe('answers that come while somebody speaks', () => {
  test('are read back in their order, each with its tree, when it is quiet', async () => {
    const { pushToTalk, pass, answer, said } = button();
    await pushToTalk.press();
    await pass(600);
    answer('53 feet, give or take 3. The pace counts most.', 't-4');
    answer('61 feet, give or take 4.', 't-5');
    await pass(200);
    expect(said).toEqual([]);
    void pushToTalk.release();
    await pass(400);
    expect(said).toEqual(['Tree 4: 53 feet, give or take 3. Tree 5: 61 feet, give or take 4.']);
  });

  test('one alone is read as it is; of many the first are only counted', async () => {
    const { free, pass, answer, said } = button();
    answer('53 feet, give or take 3.', 't-4');
    expect(said).toEqual(['53 feet, give or take 3.']);
    free.state = 'speech';
    for (let count = 1; count <= 6; count++) answer(`Note ${count}.`);
    free.state = 'off';
    await pass(100);
    expect(said[1]).toBe('2 more answers are on the page. Note 3. Note 4. Note 5. Note 6.');
  });
});
