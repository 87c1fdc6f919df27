// Talk with a person in plain lines: what is told, what is asked, Enter as a signal. Behind an interface, so that a
// conversation can be tested without a terminal.

import { createInterface, type Interface } from 'node:readline';
import { printable } from '../printable.ts';
import { folded } from './folded.ts';
import { print } from './print.ts';

export interface Questions {
  tell(line: string): void;
  /** Text without an end of line: the beats as they go by. Not shown where no terminal looks on. */
  mark(text: string): void;
  /** The answer, or undefined when no more will come. */
  ask(question: string): Promise<string | undefined>;
  /** Calls back when Enter is pressed, until undone. In a pipe, where every answer is there from the start, never. */
  onEnter(callback: () => void): () => void;
  /** Ends the asking: what is being asked gets no answer. */
  close(): void;
}

export function openQuestions(
  input: NodeJS.ReadStream = process.stdin,
  output: NodeJS.WriteStream = process.stdout,
): Questions {
  const seen = output.isTTY === true;
  const seated = seen && input.isTTY === true;
  const waiting: string[] = [];
  let lines: Interface | undefined;
  let closed = false;
  let answered: ((answer: string | undefined) => void) | undefined;
  let entered: (() => void) | undefined;

  const listen = (): Interface => {
    if (lines) return lines;
    lines = createInterface({ input, output, terminal: seated });
    lines.on('line', (line) => {
      if (answered) answered(line);
      else if (entered) entered();
      else waiting.push(line);
    });
    lines.on('close', () => {
      closed = true;
      answered?.(undefined);
    });
    // A terminal in raw mode gives Ctrl-C as a key: it means what it means elsewhere.
    lines.on('SIGINT', () => process.kill(process.pid, 'SIGINT'));
    return lines;
  };

  return {
    tell: (line) => print(seen ? folded(line, output.columns || 80) : line),
    mark: (text) => {
      if (seen) output.write(printable(text));
    },
    ask: async (question) => {
      const reader = listen();
      const ready = waiting.shift();
      if (ready !== undefined) {
        print(`${question}${ready}`);
        return ready;
      }
      if (closed) return undefined;
      reader.setPrompt(printable(question));
      reader.prompt();
      return new Promise((resolve) => {
        answered = (answer) => {
          answered = undefined;
          resolve(answer);
        };
      });
    },
    onEnter: (callback) => {
      if (!seated) return () => {};
      listen();
      entered = callback;
      return () => {
        entered = undefined;
      };
    },
    close: () => {
      closed = true;
      answered?.(undefined);
      lines?.close();
    },
  };
}
