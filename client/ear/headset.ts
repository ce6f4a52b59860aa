/**
 * The button of a headset as the talk button: one press begins, the next ends. Browsers hand it to a page that plays
 * something, so while it is wanted a silence is played.
 */
import type { PushToTalk } from './push-to-talk.ts';

/** Seconds and rate of the silence; browsers take no notice of a sound under five seconds. */
const seconds = 8;
const rate = 8000;

/** Listens for the button while `wanted`, asked now and anew whenever hands-free is turned on or off. */
export function watchHeadset(pushToTalk: PushToTalk, wanted: () => boolean): void {
  const session = navigator.mediaSession;
  if (!session) return;
  let silence: HTMLAudioElement | null = null;
  const press = (): void => {
    if ((pushToTalk.state === 'talking' && !pushToTalk.tapped) || pushToTalk.state === 'opening')
      void pushToTalk.release();
    else void pushToTalk.press();
    // The button must find it playing again, whatever it was for.
    if (silence?.paused) void silence.play().catch(() => undefined);
  };
  const follow = (): void => {
    if (!wanted()) {
      silence?.pause();
      silence = null;
      for (const action of ['play', 'pause'] as const) session.setActionHandler(action, null);
      session.playbackState = 'none';
      return;
    }
    if (silence !== null) return;
    silence = new Audio(URL.createObjectURL(new Blob([quietWav()], { type: 'audio/wav' })));
    silence.loop = true;
    // Without a touch of the page it may not play; then the button goes elsewhere, and nothing else is lost.
    void silence.play().catch(() => undefined);
    for (const action of ['play', 'pause'] as const) session.setActionHandler(action, press);
    session.playbackState = 'playing';
  };
  pushToTalk.onListening.push(follow);
  follow();
}

/** A WAV file of silence: 8 bits, mono. */
function quietWav(): ArrayBuffer {
  const length = seconds * rate;
  const bytes = new Uint8Array(44 + length).fill(128);
  const view = new DataView(bytes.buffer);
  const text = (at: number, value: string) => {
    for (let i = 0; i < value.length; i++) bytes[at + i] = value.charCodeAt(i);
  };
  text(0, 'RIFF');
  view.setUint32(4, 36 + length, true);
  text(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate, true);
  view.setUint16(32, 1, true);
  view.setUint16(34, 8, true);
  text(36, 'data');
  view.setUint32(40, length, true);
  return bytes.buffer;
}
