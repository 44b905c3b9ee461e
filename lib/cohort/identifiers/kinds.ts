/**
 * The kinds of identifier that stop a run: the 18 classes of the Safe Harbor list, ages over 89,
 * which it treats apart, and free text, which may hold any of them.
 *
 * @see 45 CFR 164.514(b)(2)(i), (A) to (R).
 */
export const identifierKinds = {
  name: "names",
  place: "places smaller than a state: addresses, towns, post codes",
  date: "dates or times finer than a year",
  age: "ages over 89",
  telephone: "telephone numbers",
  fax: "fax numbers",
  email: "e-mail addresses",
  "social-security": "social security numbers",
  "record-number": "record numbers",
  "plan-number": "health plan numbers",
  "account-number": "account numbers",
  "licence-number": "licence or certificate numbers",
  vehicle: "vehicle numbers or plates",
  device: "device serial numbers",
  "web-address": "web addresses",
  "network-address": "network addresses",
  biometric: "biometric templates",
  photograph: "photographs or image files",
  "unique-code": "codes that belong to one person",
  "free-text": "free text",
} as const;

/** @internal */
type KindNamed = keyof typeof identifierKinds;
/** One kind of identifier. */
export type IdentifierKind = KindNamed;

/** What to do about a kind of identifier. */
export function identifierRemedy(kind: IdentifierKind): string {
  switch (kind) {
    case "date":
      return "replace dates by days from the operation; keep the year of operation only";
    case "age":
      return "write 90 for every age over 89";
    case "name":
      return "remove names; give patients random pseudonyms and surgeons codes such as S1";
    case "record-number":
    case "unique-code":
      return "remove them, or let `deno task deidentify` replace them by keyed pseudonyms";
    default:
      return "remove the column, or let `deno task deidentify` write a clean copy";
  }
}
