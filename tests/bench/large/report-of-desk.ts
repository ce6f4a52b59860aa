/** The report of a desk as the server gives it, whole. */
import type { Desk } from '../../../server/desk/desk.ts';
import { Printing } from '../../../server/desk/printing.ts';

export async function reportOfDesk(desk: Desk): Promise<string> {
  const printed = await new Printing().print(desk, { kind: 'report', made: Date.now() });
  return typeof printed === 'string' ? printed : new Response(printed).text();
}
