/** 'My drop 2, low' for a copy of 'Drop 2, low'; a name that says so already stays. */
export function ownName(name: string): string {
  if (/^my /iu.test(name)) return name;
  return `My ${name.slice(0, 1).toLowerCase()}${name.slice(1)}`;
}
