/** An edge from a file, read in the page itself; fetched when the first file is chosen. */
import { mostEdgeBytes, readEdgeFile, tooLarge } from '../../shared/land/edge-file.ts';
import type { Conversation } from './conversation.ts';

/** Takes the edge of a file for the stand or stratum in hand. Returns the sentences that say what became of it. */
export async function bringEdge(conversation: Conversation, file: File): Promise<string> {
  if (file.size > mostEdgeBytes) return `${file.name}: ${tooLarge} Nothing was taken in.`;
  let text: string;
  try {
    text = await file.text();
  } catch {
    return `${file.name} cannot be read any more: choose it again.`;
  }
  const read = readEdgeFile(text);
  if (!read.ok) return `${file.name}: ${read.error} Nothing was taken in.`;
  const { parts, notes } = read.value;
  const told = await conversation.do(
    { kind: 'traverse', op: 'bring' },
    `edge from ${file.name}`.slice(0, 200),
    {
      edge: parts,
    },
  );
  if (told === null) return `${file.name} could not be kept. Nothing was taken in.`;
  return [...notes, told.answer.reply].join(' ');
}
