/** Taking the book with you, as files, by the share sheet, and bringing one in: all made and read on this device. */
import { useState } from 'preact/hooks';
import { bringBook, canShare, type FileKind, pickFile, share, takeAway } from '../conversation/takeaway.ts';
import { usePage } from './page.tsx';

const saved: readonly (readonly [FileKind, string])[] = [
  ['report', 'Report'],
  ['csv', 'Table (CSV)'],
  ['geojson', 'Map (GeoJSON)'],
  ['json', 'Whole book (JSON)'],
];
const shared: readonly (readonly ['report' | 'book', string])[] = [
  ['report', 'Share the report'],
  ['book', 'Share the whole book'],
];

export function TakeAway() {
  const { conversation } = usePage();
  const [note, setNote] = useState('');
  const saying = (work: () => Promise<string>) => async () => setNote(await work());
  return (
    <section>
      <h2>Take it with you</h2>
      <p class="buttons">
        {saved.map(([kind, label]) => (
          <button key={kind} type="button" onClick={saying(() => takeAway(conversation, kind))}>
            {label}
          </button>
        ))}
        {canShare() &&
          shared.map(([kind, label]) => (
            <button key={kind} type="button" onClick={saying(() => share(conversation, kind))}>
              {label}
            </button>
          ))}
        <button
          type="button"
          onClick={saying(async () => {
            const file = await pickFile();
            return file === null ? '' : bringBook(conversation, file);
          })}
        >
          Bring in a book
        </button>
      </p>
      <p class="answered" role="status">
        {note}
      </p>
    </section>
  );
}
