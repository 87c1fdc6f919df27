// `fettle lesson show`: what is in a lesson, with the steps as they are made here.

import { counted } from '../wording/counted.ts';
import { lessonLines } from '../wording/lesson.ts';
import { readLessonFile } from './lesson-file.ts';
import { askedIn } from './lesson-plan.ts';
import { print } from './print.ts';

export async function showLesson(path: string): Promise<void> {
  const lesson = readLessonFile(path);
  const marks = lesson.assignments.map((_, i) => counted(askedIn({ path, lesson }, i).steps.length, 'step'));
  for (const line of lessonLines(lesson, marks)) print(line);
  print(`fettle work ${path} works it; fettle show ${path}#1 shows the music of its first assignment.`);
}
