/**
 * What the page and the server say to each other: every address with the schema of its request and reply, the
 * messages of the listening socket, and the limits. Neither side knows more of the other than this file.
 */
import * as z from 'zod/mini';
import type { Answer, Told } from './dialogue/types.ts';
import { heightMethodKeys } from './measuring/height/methods.ts';
import { causes } from './measuring/height/types.ts';
import { doubtSchema, questionSchema } from './note/acts.ts';
import { deviationNames } from './note/deviations.ts';
import { deviceSchema, entrySchema, heardSchema, positionSchema } from './note/journal.ts';
import { lengths } from './note/limits.ts';
import { type Candidate, mostNotes, noteSchema } from './note/note.ts';
import { questions } from './note/question-topics.ts';

/** Raised when a message changes its meaning; both sides refuse a partner with another number. */
export const protocolVersion = 5;

export const wireLimits = {
  /** Characters of one typed note. */
  words: lengths.words,
  /** Seconds of one sound; the acoustic model knows no longer ones. */
  soundSeconds: 30,
  /** 30 s of 48 kHz 16-bit stereo and a roomy header, bytes. */
  soundBytes: 30 * 48_000 * 2 * 2 + 4096,
  /** Entries of one push or one page of entries. */
  entries: 5000,
  /** Bytes of one JSON body. */
  jsonBytes: 8 * 1024 * 1024,
} as const;

/** Rates at which raw 16-bit little-endian mono samples are taken, Hz. */
const pcmRates = [8000, 16_000, 22_050, 24_000, 32_000, 44_100, 48_000] as const;

/** The notes of one breath. */
const notesSchema = z
  .readonly(z.tuple([noteSchema], noteSchema))
  .check(z.refine((notes) => notes.length <= mostNotes));

/** One meaning that words or sound may have. */
const candidateSchema = z.strictObject({
  notes: notesSchema,
  /** As the grammar writes it, or as it was typed. */
  words: z.string(),
  /** Share of belief among all meanings. */
  posterior: z.number().check(z.minimum(0), z.maximum(1)),
}) satisfies z.core.$ZodType<Candidate>;

const stateSchema = z.enum(['kept', 'asking', 'refused']);

/** The answer to one breath, in the one form that the command line prints with `--json`. */
export const answerSchema = z.strictObject({
  /** As typed, or the likeliest of what was heard. */
  words: z.string(),
  /** The first of the notes; null when all was refused. */
  note: z.nullable(noteSchema),
  /** All notes of the breath that were taken. */
  notes: z.array(noteSchema),
  /** The height that was told or changed; `sdFeet` is its whole standard deviation. */
  height: z.nullable(
    z.strictObject({ feet: z.number(), metres: z.number(), sdFeet: z.number(), method: z.string() }),
  ),
  /** One to a few sentences, as they are spoken. */
  reply: z.string(),
  /** What stood out, with the slips that would explain it and the feet that each would give. */
  doubts: z.array(
    z.strictObject({
      code: z.string(),
      /** 0 (worth a word) to 1 (cannot be). */
      strength: z.number().check(z.minimum(0), z.maximum(1)),
      slips: z.array(z.strictObject({ slip: z.string(), feet: z.nullable(z.number()) })),
    }),
  ),
  /** The question put, if one was. */
  asks: z.nullable(z.string()),
  /** `asking`: something waits for an answer, if only a part; `refused`: nothing was kept. */
  state: stateSchema,
  /** Null for typed words. `margin`: of the worst word against free sounds, nats; larger is worse. */
  heard: z.nullable(
    z.strictObject({ margin: z.number(), posterior: z.number().check(z.minimum(0), z.maximum(1)) }),
  ),
}) satisfies z.core.$ZodType<Answer>;

const methodSchema = z.enum(heightMethodKeys);
const causeSchema = z.enum(causes);

/** A computed height with its working, as the page draws it; feet. */
const heightSchema = z.strictObject({
  feet: z.number(),
  sdFeet: z.number(),
  method: methodSchema,
  /** What each cause has of the error; `part` is that of the variance, 0 to 1. */
  shares: z.array(z.strictObject({ cause: causeSchema, sdFeet: z.number(), part: z.number() })),
  /** What would lower the error most, and to what; null where nothing would by much. */
  advice: z.nullable(
    z.strictObject({
      cause: causeSchema,
      action: z.enum(['tape', 'walkAgain', 'moreTakes', 'standFurther', 'measureEye', 'clinometer']),
      sdFeet: z.number(),
    }),
  ),
  /** The working, in its order. */
  steps: z.array(
    z.strictObject({
      name: z.string(),
      value: z.number(),
      unit: z.enum(['ft', 'deg', 'pct', 'paces', 'steps', 'ratio', 'topo']),
      /** Where the number is from, if it was not said just now. */
      from: z.optional(z.string()),
    }),
  ),
  /** To scale: level distance, eye over the ground, base over the feet (below them negative), angle to the top. */
  sketch: z.strictObject({
    method: methodSchema,
    heightFt: z.number(),
    distanceFt: z.nullable(z.number()),
    eyeFt: z.nullable(z.number()),
    baseFt: z.number(),
    topDegrees: z.nullable(z.number()),
  }),
  /** Of several takes: their feet, how far each lies from the middle in expected scatters, the outlying and left-out feet. */
  takes: z.optional(
    z.strictObject({
      feet: z.array(z.number()),
      apart: z.array(z.number()),
      outlying: z.array(z.number()),
      leftOut: z.array(z.number()),
      /** How the middle was found: "mean of 3 takes, 1 left out". */
      rule: z.string(),
      /** Standard deviation of one take, expected of the device and found here; null of one take. */
      expectedFeet: z.number(),
      foundFeet: z.nullable(z.number()),
    }),
  ),
  /** Standard deviations that were supposed, as nobody measured them. */
  assumed: z.array(z.strictObject({ of: z.enum(deviationNames), value: z.number() })),
  formula: z.strictObject({ words: z.string(), source: z.string() }),
});

/** Everything that one utterance brings. */
export const toldSchema = z.strictObject({
  answer: answerSchema,
  entry: z.nullable(entrySchema),
  height: z.nullable(heightSchema),
  doubts: z.array(doubtSchema),
  question: z.nullable(questionSchema),
  detail: z.nullable(z.string()),
  parts: z.array(
    z.strictObject({
      entry: z.nullable(entrySchema),
      note: noteSchema,
      height: z.nullable(heightSchema),
      doubts: z.array(doubtSchema),
      question: z.nullable(questionSchema),
      reply: z.string(),
      state: stateSchema,
    }),
  ),
});
/** The schemas above follow the types of the book: a field that one has and the other has not fails to compile. */
type Writable<T> = T extends string ? T : T extends object ? { -readonly [K in keyof T]: Writable<T[K]> } : T;
true satisfies Writable<Told> extends z.infer<typeof toldSchema> ? true : false;

export const fileFormats = ['csv', 'json', 'geojson'] as const;
export type FileFormat = (typeof fileFormats)[number];
export const grammarFormats = ['help', 'examples', 'srgs', 'abnf', 'jsgf'] as const;
export type GrammarFormat = (typeof grammarFormats)[number];

/** What every refused request gets: one plain sentence that can be read aloud. */
export const refusalSchema = z.strictObject({ refused: z.string() });

/** A decimal number of a query string. */
const decimal = (from: number, to: number) =>
  z.pipe(
    z.pipe(z.string().check(z.regex(/^-?\d{1,15}(\.\d{1,15})?$/)), z.transform(Number)),
    z.number().check(z.minimum(from), z.maximum(to)),
  );

const cursorQuery = z.pipe(decimal(0, Number.MAX_SAFE_INTEGER), z.int());

/** The usual questions on the whole book, each with its answer as it is said aloud. */
const totalsSchema = z.strictObject({
  answers: z.array(
    z.strictObject({ about: z.enum(questions), reply: z.string(), detail: z.nullable(z.string()) }),
  ),
});

export const doubtsSchema = z.strictObject({
  doubts: z.array(
    z.strictObject({
      /** Number of the tree, where the doubt is about one. */
      tree: z.nullable(z.int().check(z.positive())),
      entry: z.uuid(),
      state: z.enum(['open', 'kept', 'mended', 'dropped']),
      ...z.omit(doubtSchema, { slips: true }).shape,
    }),
  ),
});

const heardClipSchema = z.strictObject({ candidates: z.array(candidateSchema), facts: heardSchema });
/** What hearing gives: meanings best first, or why there is none; see `ClipResult` in the grammar's decoding. */
const clipResultSchema = z.discriminatedUnion('ok', [
  z.strictObject({ ok: z.literal(true), value: heardClipSchema }),
  z.strictObject({
    ok: z.literal(false),
    error: z.strictObject({
      kind: z.enum(['nothing', 'unclear', 'tooLong', 'busy', 'deaf']),
      message: z.string(),
    }),
  }),
]);

/**
 * Every address of the server. `query` and `body` are what a request brings (a missing one: nothing), `reply` what
 * a 200 brings as JSON; `binary` bodies and `text` replies carry no schema but a list of content types.
 */
export const endpoints = {
  /** Says what this server is; the page asks it first. */
  state: {
    method: 'GET',
    path: '/api/state',
    reply: z.strictObject({
      protocol: z.int(),
      /** Of the program. */
      version: z.string(),
      /** Of the description: two of one version read alike. */
      grammar: z.string(),
      /** Of the rows in the book's file. */
      journalFormat: z.int(),
      /** Name of the book, without its folder; null for a book in memory. */
      book: z.nullable(z.string()),
      /** What the server's own entries are signed with: another one is another book. */
      device: deviceSchema,
      /** Whether sounds can be answered here, and why not. */
      hears: z.boolean(),
      deaf: z.nullable(z.string()),
      entries: z.int().check(z.nonnegative()),
      trees: z.int().check(z.nonnegative()),
      plots: z.int().check(z.nonnegative()),
      openDoubts: z.int().check(z.nonnegative()),
      /** The server's clock, milliseconds since 1970. */
      now: z.number(),
    }),
  },
  /** Typed words, answered by the server's own conversation. */
  note: {
    method: 'POST',
    path: '/api/note',
    body: z.strictObject({
      words: z.string().check(z.maxLength(wireLimits.words)),
      position: z.optional(positionSchema),
    }),
    reply: toldSchema,
  },
  /** The body is the sound itself: a WAV file, or bare samples (`audio/pcm`, signed 16-bit little-endian mono). */
  sound: {
    method: 'POST',
    path: '/api/sound',
    binary: ['audio/wav', 'audio/x-wav', 'audio/wave', 'audio/vnd.wave', 'audio/pcm'],
    query: z
      .strictObject({
        /** Rate of bare samples, Hz; 16000 where missing. */
        rate: z.optional(z.pipe(decimal(8000, 48_000), z.union(pcmRates.map((rate) => z.literal(rate))))),
        latitude: z.optional(decimal(-90, 90)),
        longitude: z.optional(decimal(-180, 180)),
        /** Radius of the position's error, metres. */
        accuracy: z.optional(decimal(0, 1e7)),
      })
      .check(
        z.refine(
          ({ latitude, longitude, accuracy }) =>
            (latitude === undefined) === (longitude === undefined) &&
            (latitude === undefined) === (accuracy === undefined),
          'latitude, longitude and accuracy come together',
        ),
      ),
    reply: toldSchema,
  },
  /**
   * Hears a sound and answers nothing: what it may mean goes back to the page, which keeps its own book. Bodies as
   * for `sound`; where nothing was heard, `error` holds the sentence to say.
   */
  hear: {
    method: 'POST',
    path: '/api/hear',
    binary: ['audio/wav', 'audio/x-wav', 'audio/wave', 'audio/vnd.wave', 'audio/pcm'],
    query: z.strictObject({
      rate: z.optional(z.pipe(decimal(8000, 48_000), z.union(pcmRates.map((rate) => z.literal(rate))))),
    }),
    reply: clipResultSchema,
  },
  /** Entries in the order in which the server took them, `limit` after the cursor; all from the start without one. */
  entries: {
    method: 'GET',
    path: '/api/entries',
    query: z.strictObject({
      after: z.optional(cursorQuery),
      limit: z.optional(z.pipe(decimal(1, wireLimits.entries), z.int())),
    }),
    reply: z.strictObject({
      entries: z.array(entrySchema),
      cursor: z.int().check(z.nonnegative()),
      /** True while there are entries after the cursor. */
      more: z.boolean(),
    }),
  },
  /** Adds entries of another device. Safe to repeat: an entry that is there already counts as not added. */
  push: {
    method: 'POST',
    path: '/api/entries',
    body: z.strictObject({ entries: z.array(entrySchema).check(z.maxLength(wireLimits.entries)) }),
    reply: z.strictObject({ added: z.int().check(z.nonnegative()), cursor: z.int().check(z.nonnegative()) }),
  },
  /** The phones that are let in; refused where phones are let in nowhere. */
  phones: {
    method: 'GET',
    path: '/api/phones',
    reply: z.strictObject({ phones: z.array(z.strictObject({ id: z.string(), name: z.string() })) }),
  },
  /** Puts a phone out at once; safe to repeat. */
  phoneOut: {
    method: 'POST',
    path: '/api/phones/out',
    body: z.strictObject({ id: z.string().check(z.maxLength(60)) }),
    reply: z.strictObject({ out: z.literal(true) }),
  },
  /** Answers to the usual questions, doubts, report, files and the grammar, of the whole book. */
  totals: { method: 'GET', path: '/api/totals', reply: totalsSchema },
  doubts: { method: 'GET', path: '/api/doubts', reply: doubtsSchema },
  report: { method: 'GET', path: '/api/report', text: ['text/html'] },
  export: {
    method: 'GET',
    path: '/api/export',
    query: z.strictObject({ format: z.enum(fileFormats) }),
    text: ['text/csv', 'application/json', 'application/geo+json'],
  },
  grammar: {
    method: 'GET',
    path: '/api/grammar',
    query: z.strictObject({ format: z.optional(z.enum(grammarFormats)) }),
    text: ['text/plain', 'application/srgs+xml', 'application/srgs'],
  },
  /** A sentence in the server's own voice, for a browser that has none. */
  voice: {
    method: 'GET',
    path: '/api/voice',
    query: z.strictObject({
      say: z.string().check(z.minLength(1), z.maxLength(wireLimits.words)),
      /** 1 is the usual speed. */
      rate: z.optional(decimal(0.5, 2)),
    }),
    text: ['audio/wav'],
  },
  /** A clip that was kept with an entry. */
  clip: { method: 'GET', path: '/api/clip', query: z.strictObject({ ref: z.uuid() }), text: ['audio/wav'] },
} as const;
export type Endpoints = typeof endpoints;

type Frozen<T> = T extends object ? { readonly [K in keyof T]: Frozen<T[K]> } : T;
/** What an endpoint replies with, as the one who sends it has it. */
export type Reply<K extends keyof Endpoints> = Endpoints[K] extends { reply: infer R extends z.core.$ZodType }
  ? Frozen<z.input<R>>
  : never;

/**
 * The socket that listens without hands: sound travels to the server as binary frames of 16 kHz signed 16-bit
 * little-endian mono samples, what was heard comes back as JSON. Nothing is kept at the server: the page has the
 * sound until it is told what became of it, and hears it again, elsewhere or later, when the socket is lost.
 */
export const listenPath = '/api/listen';

export const listenLimits = {
  /** Bytes of one binary frame: two seconds. */
  frameBytes: 2 * 16_000 * 2,
  /** Milliseconds in which a socket must say `begin`. */
  beginWithin: 5000,
  /** Sockets at once. */
  sockets: 8,
  /** Sound that may wait at the server, seconds, before it stops reading. */
  waitingSeconds: 4,
} as const;

/** From the page to the server, beside the sound. */
export const listenRequestSchema = z.discriminatedUnion('type', [
  z.strictObject({
    type: z.literal('begin'),
    protocol: z.literal(protocolVersion),
    /** Word or words that stand before every note; null for none. */
    wakeWord: z.nullable(z.string().check(z.maxLength(100))),
  }),
  /** `muted`: the tool speaks, what comes now is not listened to; `guarded`: only what clearly stands out is. */
  z.strictObject({ type: z.literal('attend'), gate: z.enum(['open', 'muted', 'guarded']) }),
]);
export type ListenRequest = z.infer<typeof listenRequestSchema>;

/** A place in the sound: samples since `begin`. */
const sampleIndex = z.int().check(z.nonnegative());

/** From the server to the page. */
export const listenReplySchema = z.discriminatedUnion('type', [
  /** `voice`: how it tells speech from other sounds. */
  z.strictObject({
    type: z.literal('ready'),
    protocol: z.int(),
    voice: z.enum(['network', 'energy']),
  }),
  /** Someone speaks now, or has stopped. */
  z.strictObject({ type: z.literal('speech'), speaking: z.boolean() }),
  /** The words so far of what is being said. */
  z.strictObject({ type: z.literal('partial'), words: z.array(z.string()) }),
  z.strictObject({
    type: z.literal('heard'),
    from: sampleIndex,
    to: sampleIndex,
    ...heardClipSchema.shape,
  }),
  /** Speech that was no note: nothing is kept, nothing is said. */
  z.strictObject({ type: z.literal('ignored'), from: sampleIndex, to: sampleIndex, why: z.string() }),
  /** Speech that could not be heard just now: the page keeps it for another ear. */
  z.strictObject({ type: z.literal('unheard'), from: sampleIndex, to: sampleIndex }),
  /** Somebody spoke over the reply. */
  z.strictObject({ type: z.literal('interrupted') }),
  /** What came before this sample is dealt with: the page need not keep it. */
  z.strictObject({ type: z.literal('passed'), to: sampleIndex }),
  /** What came was not as expected, or nothing can be heard here; the socket closes. */
  z.strictObject({ type: z.literal('refused'), refused: z.string() }),
]);
export type ListenReply = z.infer<typeof listenReplySchema>;
