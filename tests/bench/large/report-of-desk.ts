/** The report of a desk as the server makes it. */
import type { Desk } from '../../../server/desk/desk.ts';
import { reportPage } from '../../../shared/report/page/page.ts';
import { reportOf } from '../../../shared/report/page/report.ts';

export async function reportOfDesk(desk: Desk): Promise<string> {
  return reportPage(reportOf({ book: desk.session.book, answers: desk.totals(), made: Date.now() }));
}
