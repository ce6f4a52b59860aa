/**
 * How a failure is written to the log: where it happened and of what kind, without its message, which may repeat what
 * somebody said. STEMSAY_LOG=messages writes the messages too, for who looks for a fault in his own book.
 */

/** @example failureText('what somebody said', false) // 'string' */
export function failureText(cause: unknown, withMessages = process.env.STEMSAY_LOG === 'messages'): string {
  if (!(cause instanceof Error)) return withMessages ? String(cause) : typeof cause;
  if (withMessages) return cause.stack ?? String(cause);
  const { code } = cause as NodeJS.ErrnoException;
  const frames = (cause.stack ?? '').split('\n').filter((line) => /^\s+at .*:\d+:\d+\)?$/.test(line));
  const kind = /^[A-Za-z]+$/.test(cause.name) ? cause.name : 'Error';
  const named = typeof code === 'string' && /^[A-Z0-9_]+$/.test(code) ? `${kind} ${code}` : kind;
  return [named, ...frames].join('\n');
}
