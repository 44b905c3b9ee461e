import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

/** The complete rows of mgus2 that a case uses. */
export function caseData(id: string) {
  const check = referenceCase(id);
  const terms: string[] = check.expected.terms;
  const rows = referenceRows(check.data!).filter((row) =>
    terms.every((term) => row[term] !== "" && row[term] !== "NA")
  );
  const data = {
    time: numeric(rows, "etime"),
    event: numeric(rows, "cause"),
    covariates: Object.fromEntries(terms.map((term) => [term, numeric(rows, term)])),
  };
  return { ...check, data, cause: check.options.failcode as number };
}
