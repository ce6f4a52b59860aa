/** The report of a desk as the server gives it, piece by piece to who asks: its characters are counted, not held. */
import type { Desk } from '../../../server/desk/desk.ts';
import { Printing } from '../../../server/desk/printing.ts';

/** Bytes of the report. */
export async function reportOfDesk(desk: Desk): Promise<number> {
  const printed = await new Printing().print(desk, { kind: 'report', made: Date.now() });
  if (typeof printed === 'string') return Buffer.byteLength(printed);
  let bytes = 0;
  for await (const piece of printed) bytes += piece.length;
  return bytes;
}
