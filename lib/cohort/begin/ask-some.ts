import { partsOf, quotedName, unquoted } from "./answers.ts";
import type { Conversation } from "./questions.ts";

/**
 * Asks which of some names it is so of. The answer names them with commas between them, a name with
 * a comma in it in quotation marks; it is kept with those that were not chosen behind a semicolon,
 * so that names which were not there yet are asked about.
 *
 * @returns Those chosen; `undefined` where it stays open.
 */
export async function askSome(
  talk: Conversation,
  { id, lines, names, what }: { id: string; lines: string[]; names: string[]; what: string },
): Promise<string[] | undefined> {
  const said = (text: string) => {
    const [chosen = "", ...rest] = partsOf(text, ";");
    return { chosen: partsOf(chosen, ",").map(unquoted), rest: rest.map(unquoted) };
  };
  const open = (text: string) => /^open$/i.test(text);
  const answer = await talk.ask({
    id,
    lines,
    hint: 'names with commas between them, "none" or "open"',
    proposal: names.map(quotedName).join(", "),
    form: { kind: "some", names, joint: ", ", none: "none", what },
    wrong: (text) =>
      open(text) || said(text).chosen.every((name) => name === "none" || names.includes(name))
        ? null
        : "names as they are written above, “none” or “open”",
    covers(text) {
      const { chosen, rest } = said(text);
      return !open(text) && names.every((name) => chosen.includes(name) || rest.includes(name));
    },
    whole(text) {
      if (open(text)) return text;
      const { chosen } = said(text);
      const rest = names.filter((name) => !chosen.includes(name));
      return [text, ...rest.map(quotedName)].join("; ");
    },
  });
  if (answer === undefined || open(answer)) return undefined;
  const { chosen } = said(answer);
  return names.filter((name) => chosen.includes(name));
}
