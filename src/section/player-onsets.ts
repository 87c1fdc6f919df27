/** When one player's onsets came, by what belongs together: the tick in the music. A known lag is taken off already. */
export interface PlayerOnsets {
  readonly player: string;
  readonly onsetMicrosByTick: ReadonlyMap<number, number>;
}
