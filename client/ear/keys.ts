/** The key that is held to talk, anywhere on the page where nothing is being typed. */
import type { PushToTalk } from './push-to-talk.ts';

/** What stands on a key, for `KeyboardEvent.code` values that headsets and keyboards send. */
export function keyName(code: string): string {
  const names: Readonly<Record<string, string>> = {
    Space: 'space bar',
    MediaPlayPause: 'play key',
    AudioVolumeUp: 'volume up',
    AudioVolumeDown: 'volume down',
    NumpadEnter: 'pad enter',
  };
  return (
    (Object.hasOwn(names, code) ? names[code] : undefined) ?? code.replace(/^(Key|Digit)/, '').toLowerCase()
  );
}

/** Listens for the talk key; returns what ends it. */
export function watchTalkKey(pushToTalk: PushToTalk, code: () => string): () => void {
  const ours = (event: KeyboardEvent): boolean => {
    if ((event.code || event.key) !== code()) return false;
    const at = event.target;
    // A space in a line of text is a space; on a button it presses the button.
    return !(
      at instanceof HTMLElement && at.closest('input, textarea, select, button:not(.hold), summary, a[href]')
    );
  };
  /** The key is down: only then is the page's loss of the keyboard the end of the hold. */
  let held = false;
  const down = (event: KeyboardEvent): void => {
    if (!ours(event)) return;
    event.preventDefault();
    if (event.repeat) return;
    held = true;
    void pushToTalk.press();
  };
  const up = (event: KeyboardEvent): void => {
    if ((event.code || event.key) !== code()) return;
    held = false;
    if (pushToTalk.state === 'talking' || pushToTalk.state === 'opening') {
      event.preventDefault();
      void pushToTalk.release();
    }
  };
  const lost = (): void => {
    if (held) void pushToTalk.interrupt();
    held = false;
  };
  window.addEventListener('keydown', down);
  window.addEventListener('keyup', up);
  window.addEventListener('blur', lost);
  return () => {
    window.removeEventListener('keydown', down);
    window.removeEventListener('keyup', up);
    window.removeEventListener('blur', lost);
  };
}
