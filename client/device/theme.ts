/** The look of the page: the chosen one or the device's, and the colour of the browser's own frame with it. */
import type { Preferences } from './preferences.ts';

const dark = matchMedia('(prefers-color-scheme: dark)');

/** Shows a theme and, while it is the device's, follows that; returns what ends the following. */
export function followTheme(chosen: Preferences['theme']): () => void {
  const show = () => {
    document.documentElement.dataset.theme =
      chosen === 'device' ? (dark.matches ? 'night' : 'paper') : chosen;
    const paper = getComputedStyle(document.documentElement).getPropertyValue('--paper').trim();
    document.querySelector<HTMLMetaElement>('meta[name="theme-color"]')?.setAttribute('content', paper);
  };
  show();
  if (chosen !== 'device') return () => {};
  dark.addEventListener('change', show);
  return () => dark.removeEventListener('change', show);
}
