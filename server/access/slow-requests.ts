/**
 * Requests that do not come to their end: each has so long for its head and for its whole, and all bodies on their way
 * together have so many bytes. Whoever is beyond that is closed, the largest first; who sent what he had waits for nobody.
 */
import type { IncomingMessage, Server, ServerOptions } from 'node:http';
import type { Duplex } from 'node:stream';

/** Milliseconds for the head of a request, for all of it, and between looks. 8 MiB take 20 s at 3 Mbit a second. */
export const timeLimits = {
  headersTimeout: 10_000,
  requestTimeout: 30_000,
  connectionsCheckingInterval: 1000,
} satisfies ServerOptions;

/** Bytes of bodies on their way at once, and milliseconds between looks. */
const mostBytes = 128 * 1024 * 1024;
const lookEvery = 250;

/** Each that is closed takes a fifth of a millisecond, its waiting answer included. */
const closedInOneTurn = 8;

const late = answerOf(
  '408 Request Timeout',
  'What you sent did not come to its end in time. Nothing of this was kept; send it again.',
);
const unreadable = answerOf('400 Bad Request', 'That is no request as HTTP has them.');
const tooLarge = answerOf(
  '431 Request Header Fields Too Large',
  'The head of the request is larger than it may be.',
);

function answerOf(status: string, refused: string): string {
  const body = JSON.stringify({ refused });
  return `HTTP/1.1 ${status}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`;
}

interface Coming {
  readonly request: IncomingMessage;
  /** Bytes of its connection before this body. */
  readonly before: number;
}

/**
 * Bounds what a server is sent: bodies on their way have so much room together, and whoever is late, or sends what is no
 * request, is told so and closed. Thousands may be late in one moment; they are closed a few in each turn of the loop, so
 * that who asks meanwhile does not wait for them. Returns what ends it.
 */
export function boundRequests(server: Server, most = mostBytes): () => void {
  const closing = new Map<Duplex, string>();
  const close = (socket: Duplex, answer: string) => {
    if (closing.size === 0) setImmediate(closeSome);
    if (!closing.has(socket)) closing.set(socket, answer);
  };
  const closeSome = () => {
    let left = closedInOneTurn;
    for (const [socket, answer] of closing) {
      if (left-- === 0) break;
      closing.delete(socket);
      if (socket.writable && answer !== '') socket.write(answer);
      socket.destroy();
    }
    if (closing.size > 0) setImmediate(closeSome);
  };
  const failed = (error: NodeJS.ErrnoException, socket: Duplex) => {
    // What is answered already, if only in part, takes no second answer.
    const begun = (socket as { _httpMessage?: { headersSent?: boolean } })._httpMessage?.headersSent === true;
    if (begun || error.code === 'ECONNRESET') close(socket, '');
    else if (error.code === 'ERR_HTTP_REQUEST_TIMEOUT') close(socket, late);
    else close(socket, error.code === 'HPE_HEADER_OVERFLOW' ? tooLarge : unreadable);
  };

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
    const sizes = [...coming]
      .filter(({ request }) => !closing.has(request.socket))
      .map(({ request, before }) => ({ request, bytes: request.socket.bytesRead - before }));
    let sum = sizes.reduce((total, { bytes }) => total + bytes, 0);
    if (sum <= most) return;
    for (const { request, bytes } of sizes.sort((a, b) => b.bytes - a.bytes)) {
      close(request.socket, '');
      sum -= bytes;
      if (sum <= most) return;
    }
  };
  server.on('request', begun);
  server.on('clientError', failed);
  const timer = setInterval(look, lookEvery).unref();
  return () => {
    server.off('request', begun);
    server.off('clientError', failed);
    clearInterval(timer);
  };
}
