/**
 * Files that the server hands out: the built page, the acoustic model, the page's model runtime. Only what lies in
 * a mounted folder is ever read, whatever the address says.
 */
import { createReadStream } from 'node:fs';
import { readFile, realpath, stat } from 'node:fs/promises';
import { extname, join, sep } from 'node:path';
import { Readable } from 'node:stream';
import { type Packing, packed } from './packed.ts';

/** Addresses beginning with `prefix` are looked for in `folder`. */
export interface Mount {
  readonly prefix: string;
  readonly folder: string;
  /** Only names that end so; everything where missing. */
  readonly only?: RegExp;
}

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.mjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json',
  '.webmanifest': 'application/manifest+json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ico': 'image/x-icon',
  '.txt': 'text/plain; charset=utf-8',
  '.woff2': 'font/woff2',
  '.wasm': 'application/wasm',
  '.bin': 'application/octet-stream',
  '.onnx': 'application/octet-stream',
};

/** Text, and the compiled language, shrink to a third or less; what is packed already does not. */
const compressible = /\.(html|js|mjs|css|json|map|svg|txt|webmanifest|bin)$/;
/** Compressed files by path and packing, with the tag of the version that was compressed. */
const small = new Map<string, { etag: string; bytes: Promise<Uint8Array<ArrayBuffer>> }>();

function compressed(file: string, etag: string, packing: Packing): Promise<Uint8Array<ArrayBuffer>> {
  const known = small.get(`${packing} ${file}`);
  if (known?.etag === etag) return known.bytes;
  const bytes = readFile(file).then((content) => packed(content, packing));
  small.set(`${packing} ${file}`, { etag, bytes });
  return bytes;
}

/** How the asker takes it, or null where it takes it plain only. */
function packingFor(name: string, request: Request): Packing | null {
  const taken = request.headers.get('accept-encoding') ?? '';
  if (!compressible.test(name)) return null;
  return /\bbr\b/.test(taken) ? 'br' : /\bgzip\b/.test(taken) ? 'gzip' : null;
}

/** The file at an address, or null. Answers `If-None-Match` with 304. */
export async function fileResponse(mounts: readonly Mount[], request: Request): Promise<Response | null> {
  let path: string;
  try {
    path = decodeURIComponent(new URL(request.url).pathname);
  } catch {
    return null;
  }
  if (path.includes('\0') || path.includes('\\')) return null;
  for (const mount of mounts) {
    const found = await fileOf(mount, path).catch(() => null);
    // Not there, or not readable: the next mount may have it.
    if (found === null) continue;
    const response = await answerWith(found, request).catch(() => null);
    if (response !== null) return response;
  }
  return null;
}

interface FoundFile {
  readonly file: string;
  readonly name: string;
  readonly type: string;
  readonly size: number;
  /** Changes with the file's size and time. */
  readonly etag: string;
}

/** The file of a mount at a path; null where there is none that it may hand out. Rejects where it cannot be looked at. */
async function fileOf({ prefix, folder, only }: Mount, path: string): Promise<FoundFile | null> {
  if (!path.startsWith(prefix)) return null;
  const name = path.slice(prefix.length) || 'index.html';
  const type = types[extname(name)];
  if (type === undefined || (only !== undefined && !only.test(name))) return null;
  // Resolved through links before it is compared: neither dots nor a link lead out of the folder.
  const [root, file] = await Promise.all([realpath(folder), realpath(join(folder, name))]);
  if (!file.startsWith(root + sep)) return null;
  const found = await stat(file);
  if (!found.isFile()) return null;
  const etag = `"${found.size.toString(36)}-${Math.round(found.mtimeMs).toString(36)}"`;
  return { file, name, type, size: found.size, etag };
}

async function answerWith({ file, name, type, size, etag }: FoundFile, request: Request): Promise<Response> {
  // no-cache: kept by the browser, but asked about each time; the files change with every build.
  const headers = { etag, 'cache-control': 'no-cache', 'content-type': type };
  if (request.headers.get('if-none-match') === etag) return new Response(null, { status: 304, headers });
  const head = request.method === 'HEAD';
  const packing = packingFor(name, request);
  if (packing !== null) {
    const small = await compressed(file, etag, packing);
    const more = {
      'content-encoding': packing,
      vary: 'accept-encoding',
      'content-length': String(small.length),
    };
    return new Response(head ? null : small, { headers: { ...headers, ...more } });
  }
  const body = head ? null : (Readable.toWeb(createReadStream(file)) as ReadableStream);
  return new Response(body, { headers: { ...headers, 'content-length': String(size) } });
}
