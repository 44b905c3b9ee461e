/**
 * Why a request is not answered, as a status; null where it is.
 *
 * Host is checked against names that somebody else made to point here, Origin against pages of
 * other sites that send answers, the path against everybody that was not given it.
 */
export function refusalOf(
  request: Request,
  { token, host }: { token: string; host: string },
): number | null {
  const { method, headers, url } = request;
  if (headers.get("host") !== host) return 421;
  const site = headers.get("sec-fetch-site");
  if (site !== null && site !== "none" && site !== "same-origin") return 403;
  if (!sameText(new URL(url).pathname, `/${token}/`)) return 404;
  if (method === "POST") return headers.get("origin") === `http://${host}` ? null : 403;
  const origin = headers.get("origin");
  if (origin !== null && origin !== `http://${host}`) return 403;
  return method === "GET" ? null : 405;
}

/** Compares in a time that does not tell how far they agree. */
function sameText(a: string, b: string): boolean {
  let differ = a.length ^ b.length;
  for (let i = 0; i < a.length; i++) differ |= a.charCodeAt(i) ^ (b.charCodeAt(i) || 0);
  return differ === 0;
}
