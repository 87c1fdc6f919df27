// Calendar time as the player lives it.

/** The local day: 2026-11-25. */
export function localDay(date: Date): string {
  return localDate(date).slice(0, 10);
}

/** ISO 8601 with milliseconds, in the computer's local time with its offset: 2026-11-25T21:07:03.000+01:00. */
export function localDate(date: Date): string {
  const offset = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + offset * 60_000).toISOString().slice(0, -1);
  const [hours, minutes] = [Math.floor(Math.abs(offset) / 60), Math.abs(offset) % 60];
  const two = (n: number) => String(n).padStart(2, '0');
  return `${local}${offset < 0 ? '-' : '+'}${two(hours)}:${two(minutes)}`;
}
