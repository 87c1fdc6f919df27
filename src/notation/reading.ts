// A reading: what became of a file. Every reader returns one: the passage, and every issue at once. A file with an
// error gives no passage (nothing half-read is taken as whole); warnings tell what was left out or repaired, and
// where, beside a passage that can be played.

import type { Passage } from '../music/passage.ts';

/** Where in a file. Lines and columns from 1, bytes from 0, bars as printed. */
export interface FilePlace {
  readonly line?: number;
  readonly column?: number;
  readonly byte?: number;
  readonly bar?: number;
}

export interface Issue {
  /** Stable, dotted: 'abc.length', 'musicxml.timewise'. */
  readonly code: string;
  readonly message: string;
  readonly severity: 'error' | 'warning';
  readonly place?: FilePlace;
}

export interface FileReading {
  /** Absent exactly when one of the issues is an error. */
  readonly passage?: Passage;
  readonly issues: readonly Issue[];
  /** Notes to be played, in playing order, ties merged, grace notes included; 0 without a passage. */
  readonly noteCount: number;
}

/** Bytes of text or archive that a reader accepts. A long orchestral score exported as MusicXML stays below it. */
export const LARGEST_FILE_BYTES = 16 * 1024 * 1024;

/** Issues are capped: a file of noise would otherwise fill the memory with complaints. */
const MOST_ISSUES = 500;

/** Collects issues while a file is read. */
export class IssueList {
  private readonly issues: Issue[] = [];
  private readonly placed = new Set<string>();
  private dropped = 0;

  warn(code: string, message: string, place?: FilePlace): void {
    this.add({ code, message, severity: 'warning', ...(place && { place }) });
  }

  error(code: string, message: string, place?: FilePlace): void {
    this.add({ code, message, severity: 'error', ...(place && { place }) });
  }

  /** The first time only: for what would be said at every note. */
  warnOnce(code: string, message: string, place?: FilePlace): void {
    if (!this.issues.some((issue) => issue.code === code)) this.warn(code, message, place);
  }

  get failed(): boolean {
    return this.issues.some((issue) => issue.severity === 'error');
  }

  list(): readonly Issue[] {
    if (this.dropped === 0) return this.issues;
    const message = `${this.dropped} more like these are not listed`;
    return [...this.issues, { code: 'issues.more', message, severity: 'warning' }];
  }

  /** What a repeat is played twice for is told once. */
  private add(issue: Issue): void {
    if (issue.place !== undefined) {
      const same = JSON.stringify(issue);
      if (this.placed.has(same)) return;
      this.placed.add(same);
    }
    if (this.issues.length < MOST_ISSUES || issue.severity === 'error') this.issues.push(issue);
    else this.dropped += 1;
  }
}

/** A reading that failed with one error. */
export function unreadable(code: string, message: string, place?: FilePlace): FileReading {
  return { issues: [{ code, message, severity: 'error', ...(place && { place }) }], noteCount: 0 };
}
