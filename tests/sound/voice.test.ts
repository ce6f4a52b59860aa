/** The server's voice: what it says can be understood, and it fails with a sentence. */
import { fork } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { createVoice, type Playing } from '../../client/conversation/voice.ts';
import { Desk, MemoryStore } from '../../server/desk/desk.ts';
import { createApp } from '../../server/http/app.ts';
import { readWav } from '../../server/speech/audio.ts';
import { createHearing, type Hearing } from '../../server/speech/hear.ts';
import { createServerVoice, type ServerVoice } from '../../server/speech/voice.ts';
import { fakeLanguage, noon } from '../support/fakes.ts';

const dying = fileURLToPath(new URL('./dying-worker.mjs', import.meta.url));

describe('the voice of the server', () => {
  let voice: ServerVoice;
  let hearing: Hearing;
  beforeAll(() => {
    voice = createServerVoice();
    hearing = createHearing();
  });
  afterAll(async () => {
    await Promise.all([voice.close(), hearing.close()]);
  });

  // It says digits as a person would, or the ear, which knows no digits, would not know the note again.
  test.each([
    ['stick spans 70 feet', 'stick spans seventy feet'],
    ['my pace is 5.3 feet', 'my pace is five point three feet'],
    ['44 paces', 'forty four paces'],
  ])(
    'says "%s" so that the ear of this program hears "%s"',
    async (said, words) => {
      const wav = await voice.say(said, 1);
      if (!wav.ok) throw new Error(wav.error);
      const sound = readWav(wav.value);
      if (!sound.ok) throw new Error(sound.error.message);
      const heard = await hearing.hear(sound.value.samples);
      expect(heard.ok && heard.value.candidates[0]!.words).toBe(words);
    },
    20_000,
  );

  test('speaks slower and faster', async () => {
    const length = async (rate: number) => {
      const wav = await voice.say('forty eight feet, give or take three', rate);
      return wav.ok ? wav.value.length : 0;
    };
    const [slow, usual, fast] = [await length(0.7), await length(1), await length(1.5)];
    // Length goes with 1 / rate; rests at the ends do not.
    expect(slow / usual).toBeGreaterThan(1.25);
    expect(fast / usual).toBeLessThan(0.85);
  });

  test('takes a sentence for words, whatever is in it', async () => {
    for (const sentence of ['-voice kal', '--help', '"quoted" ± 3 ft² \u{1f332}', '$(reboot); `ls` | cat'])
      expect((await voice.say(sentence, 1)).ok).toBe(true);
  });

  test('whose process dies or hangs says so, and speaks again with the next sentence', async () => {
    const mortal = createServerVoice(() => fork(dying, ['stillborn'], { serialization: 'advanced' }));
    for (let i = 0; i < 2; i++) {
      const said = await mortal.say('kept', 1);
      expect(said.ok ? '' : said.error).toMatch(/^The server has no voice just now: its process ended/);
    }
    await mortal.close();
  });

  test('is asked by address, and refuses what is not a sentence', async () => {
    const desk = await Desk.open({ store: new MemoryStore(), language: fakeLanguage, now: noon });
    const app = createApp({ desk, version: '0', book: null, mounts: [], report: () => '', voice });
    const ask = (query: string) => app.request(`http://localhost/api/voice?${query}`);
    const good = await ask('say=48+feet&rate=1.2');
    expect(good.headers.get('content-type')).toBe('audio/wav');
    expect(readWav(new Uint8Array(await good.arrayBuffer())).ok).toBe(true);
    for (const query of ['', 'say=', 'say=a&rate=9', 'say=a&rate=x', `say=${'a'.repeat(3000)}`]) {
      const bad = await ask(query);
      expect(bad.status).toBe(400);
      expect((await bad.json()) as object).toEqual({ refused: expect.stringMatching(/not as expected/) });
    }
    const mute = createApp({ desk, version: '0', book: null, mounts: [], report: () => '' });
    expect((await mute.request('http://localhost/api/voice?say=a')).status).toBe(503);
  });
});

describe('the voice of the page', () => {
  const asked: string[] = [];
  const server = (async (address: string) => {
    asked.push(address);
    return new Response(new Uint8Array(4), { headers: { 'content-type': 'audio/wav' } });
  }) as typeof fetch;
  const player = () => {
    const played: { stopped: boolean; end: () => void }[] = [];
    const play = (): Playing => {
      const one = { stopped: false, end: () => {} };
      played.push(one);
      return {
        ended: new Promise((resolve) => {
          one.end = resolve;
        }),
        stop() {
          one.stopped = true;
          one.end();
        },
      };
    };
    return { played, play };
  };

  test("is the server's where the browser has none, and stops when it is hushed", async () => {
    const { played, play } = player();
    const voice = createVoice(undefined, server, play);
    const said = voice.say('48 feet.', 1.25);
    await expect.poll(() => played.length).toBe(1);
    expect(asked.at(-1)).toBe('/api/voice?say=48+feet.&rate=1.25');
    expect(voice.speaking).toBe(true);
    voice.hush();
    await said;
    expect(played[0]!.stopped).toBe(true);
    expect(voice.speaking).toBe(false);
  });

  test('of a newer sentence takes the place of the one before', async () => {
    const { played, play } = player();
    const voice = createVoice(undefined, server, play);
    const first = voice.say('one', 1);
    await expect.poll(() => played.length).toBe(1);
    const second = voice.say('two', 1);
    await first;
    await expect.poll(() => played.length).toBe(2);
    expect(played[0]!.stopped).toBe(true);
    played[1]!.end();
    await second;
  });

  test('is silent when nobody has one', async () => {
    const away = (async () => {
      throw new TypeError('no network');
    }) as typeof fetch;
    await createVoice(undefined, away, player().play).say('48 feet.', 1);
  });
});
