/**
 * Where this page came from. All its addresses are relative to that, so that it works from any folder of any host; the
 * build marks a page that no server of ours stands behind.
 */

/** False for the page as a folder: then nothing is ever asked of the host but the page's own files. */
export const hasServer: boolean = globalThis.document?.documentElement.dataset.server !== 'none';

/** True where the page came over a network, or has no server: then it must hear by itself in the end. */
export const hearsAlone: boolean =
  !hasServer || !/^(localhost|127\.0\.0\.1|\[::1\]|)$/.test(globalThis.location?.hostname ?? '');

/** The whole address of one of the page's own files. */
export const ownFile = (name: string): string => new URL(name, document.baseURI).href;

/** Asks the server; where there is none, nothing leaves this device. */
export const askServer: typeof fetch = (...asked) =>
  hasServer ? fetch(...asked) : Promise.reject(new Error('This page has no server.'));
