// `fettle set`: what is typed every day, set once.

import { settingsPlace } from '../devices/home.ts';
import { print } from './print.ts';
import { keepSetting, keptSettings, SETTINGS, settingNamed } from './settings.ts';
import { usage } from './usage-problem.ts';

export async function set(
  name: string | undefined,
  value: string | undefined,
  options: { readonly forget?: boolean },
): Promise<void> {
  if (name === undefined) {
    if (options.forget)
      throw usage('setting.value', 'Cannot forget: which setting? Such as fettle set player --forget');
    await list();
    return;
  }
  const setting = settingNamed(name);
  if (options.forget) {
    if (value !== undefined) throw usage('setting.value', `Cannot set the ${name} and forget it at once`);
    await keepSetting(name, undefined);
    print(`${name} is not set any more.`);
    return;
  }
  if (value === undefined) {
    print(line(name, (await keptSettings())[name], setting.meaning));
    return;
  }
  setting.check(value);
  await keepSetting(name, value);
  print(`${name} is ${value} from now on, unless you type another.`);
}

async function list(): Promise<void> {
  const kept = await keptSettings();
  for (const { name, meaning } of SETTINGS) print(line(name, kept[name], meaning));
  print(
    `\nfettle set NAME VALUE sets one, fettle set NAME --forget forgets it. Kept in ${await settingsPlace()}.`,
  );
}

function line(name: string, value: string | undefined, meaning: string): string {
  return `${name.padEnd(11)} ${(value ?? '-').padEnd(16)} ${meaning}`;
}
