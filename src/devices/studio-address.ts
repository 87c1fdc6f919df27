// The address of a studio's record: postgres://USER@HOST/DATABASE, with or without a password. It is printed and kept
// without one.

export function isStudioAddress(text: string): boolean {
  return /^postgres(ql)?:\/\//i.test(text);
}

/** The address without a password; undefined where it is no studio's address. */
export function withoutPassword(address: string): string | undefined {
  const url = parsed(address);
  if (!url) return undefined;
  url.password = '';
  url.searchParams.delete('password');
  return url.href;
}

/** Whether a password is written in it. */
export function hasPassword(address: string): boolean {
  const url = parsed(address);
  return url !== undefined && (url.password !== '' || url.searchParams.has('password'));
}

/** What a password in a file is found by: HOST:PORT:DATABASE:USER, as libpq has it. */
export function passwordFileKey(address: string): string {
  const url = parsed(address);
  const part = (text: string | undefined) => (text ? decodeURIComponent(text) : '*');
  return [url?.hostname, url?.port || '5432', url?.pathname.slice(1), url?.username].map(part).join(':');
}

function parsed(address: string): URL | undefined {
  if (!isStudioAddress(address)) return undefined;
  try {
    return new URL(address);
  } catch {
    return undefined;
  }
}
