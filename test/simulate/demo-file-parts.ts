export const committed = (name: string) =>
  Deno.readTextFileSync(new URL(`../../data-demo/${name}`, import.meta.url));
