// The screen and the keys. A frame is plain data, declared whole; the device maps roles to its own colours.

/** What a piece of text is for. Never the only carrier of meaning: NO_COLOR must lose nothing. */
export type TextRole =
  | 'plain'
  | 'strong'
  | 'dim'
  | 'good'
  | 'slip'
  | 'early'
  | 'late'
  | 'click'
  | 'title'
  | 'selected';

export interface TextRun {
  readonly text: string;
  readonly role: TextRole;
}

export interface Frame {
  readonly columns: number;
  readonly rows: number;
  /** At most `rows` rows, each at most `columns` cells wide. */
  readonly lines: readonly (readonly TextRun[])[];
}

export interface TerminalSize {
  readonly columns: number;
  readonly rows: number;
}

/** A key by name: 'a', 'space', 'up', 'pageup', 'escape', 'enter', 'C-c'; `releases` where the terminal can tell. */
export interface Key {
  readonly name: string;
}

export interface Terminal {
  size(): TerminalSize;
  draw(frame: Frame): void;
  onKey(callback: (key: Key) => void): void;
  onResize(callback: () => void): void;
  /** Restores the screen. Safe to call twice. */
  close(): void;
}
