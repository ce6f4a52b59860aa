/** The leaves beside Talk, in one file of their own: the first note needs none of them. */
export { BookScreen } from './book.tsx';
export { Charts } from './charts.tsx';
export { Doubts } from './doubts.tsx';
export { HelpScreen } from './help.tsx';
export { Setup } from './setup.tsx';
export { TotalsScreen } from './totals.tsx';
