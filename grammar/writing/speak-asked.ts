/** Questions that are typed and never heard, in words: what no pattern says of them stands behind what one does. */
import { unitTable } from '../../shared/core/units.ts';
import type { Note, NoteOf, Scope } from '../../shared/note/note.ts';
import type { QuestionTopic, TopicAsked } from '../../shared/note/question-topics.ts';

const topics: Readonly<Record<TopicAsked<'typed'>, string>> = {
  compared: 'compare those two',
  together: 'average those readings',
  slenderness: 'ratio of height to diameter',
  limit: 'how far can it be',
  counted: 'are the dead counted',
  shortest: 'shortest tree',
  thinnest: 'thinnest tree',
  soFar: 'what is the average so far',
  circle: 'how big is the circle',
  place: 'which stand am I on',
  emptyPlots: 'which plots were empty',
  plotList: 'list the plots',
  remarks: 'read back the remarks',
  whoMeasured: 'who measured',
  bestPlot: 'which plot has the most',
  followUp: 'just',
  missing: 'what is still missing',
  ready: 'are you there',
  report: 'give me the report',
  files: 'where are the files',
};
const isTyped = (about: QuestionTopic): about is TopicAsked<'typed'> => Object.hasOwn(topics, about);

/** "Over 20 inches", "without height". */
function narrowing({ size, lacks, day, everywhere, mark }: Scope): string[] {
  const said: string[] = [];
  if (mark !== undefined) said.push(`with the mark ${mark}`);
  if (size !== undefined)
    said.push(
      `${size.of === 'height' ? (size.is === 'over' ? 'taller than' : size.is === 'between' ? 'high between' : 'shorter than') : size.is} ${size.to === undefined ? '' : `${size.value} and `}${size.to ?? size.value}${size.unit === undefined ? '' : ` ${unitTable[size.unit].words[size.value <= 1 ? 1 : 0]}`}`,
    );
  if (lacks !== undefined) said.push(`without ${lacks}`);
  if (day === 'week') said.push('this week');
  if (everywhere) said.push('in the whole book');
  return said;
}

/** Of the circle of a size, of the plots of a day. */
function ofPlotsAsked(
  { about, size, scope }: NoteOf<'ask'>,
  speak: (note: Note) => string | undefined,
): string | undefined {
  if (about === 'circle' && size !== undefined)
    return `${topics.circle} for ${speak({ kind: 'plot', op: 'size', size }) ?? 'that'}`;
  return about === 'soFar' && scope?.day === 'today' ? `${topics.soFar} today` : undefined;
}

/** What of a question nothing can say is put behind the rest of it; undefined for all other notes. */
export function speakAsked(note: Note, speak: (note: Note) => string | undefined): string | undefined {
  if (note.kind !== 'ask') return undefined;
  const tree = note.tree === undefined ? whichOf(note, speak) : `tree ${note.tree}`;
  const most = note.about === 'shortest' ? 'tallest' : note.about === 'thinnest' ? 'thickest' : undefined;
  // Said of the same trees as its contrary.
  if (most !== undefined && note.scope !== undefined)
    return speak({ ...note, about: most })?.replace(/^(?:the )?[a-z]+/, note.about);
  const ofPlots = ofPlotsAsked(note, speak);
  if (ofPlots !== undefined) return ofPlots;
  if (isTyped(note.about))
    return [topics[note.about], tree].filter((words) => words !== undefined).join(' of ');
  const { scope, first, which: _which, tree: _tree, units: _units, ...asked } = note;
  const { size, lacks, everywhere: _everywhere, day, mark: _mark, ...others } = scope ?? {};
  const wider = { ...others, ...(day === undefined || day === 'week' ? {} : { day }) };
  const plain: NoteOf<'ask'> = { ...asked, ...(Object.keys(wider).length > 0 ? { scope: wider } : {}) };
  const own = note.about === 'treeNumbered' ? undefined : speak(plain);
  const more = [
    ...(tree === undefined ? [] : [`of ${tree}`]),
    ...narrowing(scope ?? {}),
    ...(first === undefined ? [] : [`${first} first`]),
    ...(note.units === undefined ? [] : ['in metres']),
  ];
  if (own !== undefined) return [own, ...more].join(' ');
  const { units: _, ...inOwnUnits } = note;
  const asIs = speak(inOwnUnits);
  return asIs === undefined ? undefined : `${asIs} in metres`;
}

/** "The second red oak". */
function whichOf({ which }: NoteOf<'ask'>, speak: (note: Note) => string | undefined): string | undefined {
  return which === undefined
    ? undefined
    : speak({ kind: 'hand', which })?.replace(/^(?:for|on|back to|go to) /, '');
}
