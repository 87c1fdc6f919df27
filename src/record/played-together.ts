// What a take that several played as a section keeps of that: whose takes belong together, and how each took part.

/** How somebody took part in a take. `excused` players are heard and told, and count for nothing. */
export const ATTENDANCES = [
  'counted',
  'excused',
  /** The teacher works with another player alone. */
  'aside',
  /** Their instrument was away for some of it. */
  'away',
  /** Has not been heard for some takes: nobody waits for them until they play. */
  'left-out',
  /** Not listened to: nothing is kept. */
  'muted',
] as const;

export type Attendance = (typeof ATTENDANCES)[number];

export interface PlayedTogether {
  /** The section's name. */
  readonly section: string;
  /** Which take of the section in its sitting, from 1: entries with the same were played together. */
  readonly take: number;
  readonly attendance: Attendance;
  /** So many clean players made it clean. */
  readonly needed: number;
  /** The lag of the player's set-up was known and taken off. */
  readonly calibrated?: true;
}
