// Engraves music: MusicXML in, pictures of its systems out. Optional: a sheet as MusicXML or as text needs none.

/** One line of engraved music over the whole width. */
export interface EngravedSystem {
  /** A complete SVG element of black shapes and text, in which `viewBox` gives the proportions. */
  readonly svg: string;
  readonly widthPt: number;
  readonly heightPt: number;
}

export interface Engraver {
  /**
   * The systems of a score, in order. Rejects with a ProblemError ('engraver.refused') when the score cannot be
   * engraved.
   */
  engrave(musicXml: string, how: { readonly widthPt: number }): Promise<readonly EngravedSystem[]>;
}
