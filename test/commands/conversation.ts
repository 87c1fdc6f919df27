// Questions answered from a list: what was told and asked is kept.

import type { Questions } from '../../src/commands/questions.ts';

export interface Conversation extends Questions {
  readonly lines: readonly string[];
  readonly text: string;
}

export function conversation(answers: readonly string[]): Conversation {
  const left = [...answers];
  const lines: string[] = [];
  return {
    lines,
    get text() {
      return lines.join('\n');
    },
    tell: (line) => void lines.push(...line.split('\n')),
    mark: () => {},
    ask: async (question) => {
      const answer = left.shift();
      lines.push(`${question}${answer ?? ''}`);
      return answer;
    },
    onEnter: () => () => {},
    close: () => {},
  };
}
