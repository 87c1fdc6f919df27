/** Raised when the same take may get another verdict: the record says which judge gave the one it keeps. */
export const JUDGE_VERSION = 7;
