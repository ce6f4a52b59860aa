/** What is answered before anything of the program is loaded: which commands there are, and the version. */
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from '../program/places.ts';

const usage = `stemsay: say a short note, get a checked tree height.

  stemsay note [--json] [--book FILE] ["words"]        one note, or one a line from standard input
               [--list FILE]                            ... or from FILE, each printed with its answer set in; lines
                                                        that begin with # or a space are passed over
  stemsay hear [--json] [--book FILE] CLIP.wav ...      the same for 16-bit WAV files
               [--list FILE]                            ... whose paths stand in FILE, one a line ("-": standard input)
  stemsay totals [--json] --book FILE                   what the book comes to, with errors
  stemsay doubts [--json] --book FILE                   what is in doubt, and what was settled
  stemsay export --format csv|json|geojson --book FILE  the book for other programs
               [--table all|trees|plots|legs]           ... rows of the CSV; legs: those of walked edges
               [--columns]                              ... explains the columns
  stemsay report [--format text|html] [--out FILE]      the day's report; to FILE, as a page when its name
                 --book FILE                            ends in .html, which prints well from any browser
  stemsay grammar [--format help|examples|srgs|abnf|jsgf]
                                                        everything that can be said
  stemsay check [--json] --book FILE                    verifies a book
  stemsay fetch-dictation [--from URL] [--yes]          fetches what writes remarks down, once; says first how much
  stemsay import --book FILE EXPORT.json|csv ...        adds what JSON or CSV exports hold; safe to repeat
  stemsay edge FILE.geojson --book FILE                 the edge of a stand from a file of polygons; asks whether its
               [--stand NAME] [--stratum NAME]          area is to be taken: answer with stemsay note "yes"
  stemsay clips [delete] --book FILE                    the sounds kept in a book; deletes them, keeps the entries
  stemsay voice --book FILE                             who is heard as one who is known here
  stemsay voice learn|forget [NAME] --book FILE         learns how NAME speaks from notes that stood; forgets it
  stemsay voice save|bring [NAME] --book FILE           takes a voice along (--out FILE), or in (--from FILE)
  stemsay backup --book FILE [--out COPY]               a whole copy of a book, also while it is open
  stemsay restore --book FILE --from COPY               puts a copy back; what was there stays beside it
  stemsay merge BOOK OTHER ...                          adds to BOOK what OTHER holds; safe to repeat
  stemsay phones [--json] --book FILE                   the phones that may come in (npm start -- --lan)
  stemsay phones out NAME --book FILE                   puts one out, at once
  stemsay --version                                     the version of the program

FILE may also be a book of a crew's database: postgres://crew@host/database?book=NAME
Without --book, note and hear work on a book in memory that ends with the command.
"npm start", or "stemsay serve [--book FILE] [--deaf] [--lan]", serves the page. Exit status: 0 done, 1 refused or found wrong, 2 wrong command.
`;

/** The version of the package, as in `0.2.0`. */
export const versionOf = (folder = root): string =>
  (JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as { version: string }).version;

/** The text for a command line that asks for help or the version alone; null for any other. */
export function shortAnswer([first, ...more]: readonly string[]): string | null {
  if (more.length > 0) return null;
  if (first === '--help' || first === '-h' || first === 'help') return usage;
  return first === '--version' ? `stemsay ${versionOf()}\n` : null;
}
