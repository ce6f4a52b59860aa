/** Who may ask this server: pages of its own, on this machine. One judgement for requests and sockets. */

/** Names under which a browser on this machine reaches it. */
const ownNames = new Set(['localhost', '127.0.0.1', '[::1]']);

/**
 * The sentence why this visitor is refused, or null. `host` is the name that was asked for, with its port; `origin`
 * the page that asks, where a browser says so; `site` what Sec-Fetch-Site says, where it counts.
 */
export function strangerTo(host: string, origin: string | undefined, site?: string): string | null {
  const name = host.replace(/:\d+$/, '');
  if (!ownNames.has(name))
    return `This server answers on this machine only, as localhost; it was asked for as ${name}.`;
  if ((origin !== undefined && origin !== `http://${host}`) || site === 'cross-site')
    return 'This server answers its own page only, not another page.';
  return null;
}
