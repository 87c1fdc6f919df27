import type { Tempo } from '../music/tempo.ts';
import type { PlantedSnag } from './planted-snag.ts';
import type { Profile } from './profile.ts';
import type { Random } from './random.ts';
import type { ModelOnset } from './slip.ts';

export interface WalkSettings {
  readonly onsets: readonly ModelOnset[];
  readonly tempo: Tempo;
  readonly profile: Profile;
  readonly random: Random;
  readonly zeroMicros: number;
  /** True: the click is heard and followed. */
  readonly click: boolean;
  readonly wind: boolean;
  readonly snags: readonly PlantedSnag[];
  /** How often the player has played the onset of this number before. */
  readonly timesPlayed: (number: number) => number;
}
