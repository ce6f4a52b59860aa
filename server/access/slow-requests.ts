/**
 * Requests that do not come to their end: each has so long for its head and for its whole, and all bodies on their way
 * together have so many bytes. Whoever is beyond that is closed, the largest first; who sent what he had waits for nobody.
 */
import type { IncomingMessage, Server, ServerOptions } from 'node:http';

/** Milliseconds for the head of a request, for all of it, and between looks. 8 MiB take 20 s at 3 Mbit a second. */
export const timeLimits = {
  headersTimeout: 10_000,
  requestTimeout: 30_000,
  connectionsCheckingInterval: 1000,
} satisfies ServerOptions;

/** Bytes of bodies on their way at once, and milliseconds between looks. */
const mostBytes = 128 * 1024 * 1024;
const lookEvery = 250;

interface Coming {
  readonly request: IncomingMessage;
  /** Bytes of its connection before this body. */
  readonly before: number;
}

/** Watches the bodies that a server is sent. Returns what ends it. */
export function boundBodies(server: Server, most = mostBytes): () => void {
  const coming = new Set<Coming>();
  const begun = (request: IncomingMessage) => {
    if (request.complete) return;
    const one = { request, before: request.socket.bytesRead };
    coming.add(one);
    const gone = () => coming.delete(one);
    request.once('end', gone);
    request.once('close', gone);
  };
  const look = () => {
    const sizes = [...coming].map(({ request, before }) => ({
      request,
      bytes: request.socket.bytesRead - before,
    }));
    let sum = sizes.reduce((total, { bytes }) => total + bytes, 0);
    if (sum <= most) return;
    for (const { request, bytes } of sizes.sort((a, b) => b.bytes - a.bytes)) {
      request.socket.destroy();
      sum -= bytes;
      if (sum <= most) return;
    }
  };
  server.on('request', begun);
  const timer = setInterval(look, lookEvery).unref();
  return () => {
    server.off('request', begun);
    clearInterval(timer);
  };
}
