import type { Desk } from "../../../cohort/begin/mod.ts";
import { answerOf } from "./answer-of.ts";
import { refusalOf } from "./refusal.ts";
import { pageHtml } from "./page-html.ts";
import { session } from "./session.ts";
import { within } from "./within.ts";

/** A page that is being served. */
export interface OpenPage {
  /** Its address, to be opened in a browser of this machine. */
  address: string;
  desk: Desk;
  /** Shows how it ended, until somebody has seen it or nobody came. */
  end(lines: readonly string[]): Promise<void>;
  close(): Promise<void>;
}

/** How long a request waits for the next question before it says that work goes on. */
const patience = 100_000;
const mostBytes = 1_000_000;

/**
 * Serves the conversation as one page, on the loopback address and a port that is free, at a path
 * that nobody can guess. Each request must name that path and this very host, and an answer must
 * come from the page itself. Nothing is fetched by the page, and nothing is kept by the browser.
 *
 * @param options.lastLook Milliseconds the last page waits to be seen.
 */
export function openPage({ lastLook = 30_000 }: { lastLook?: number } = {}): OpenPage {
  const token = crypto.getRandomValues(new Uint8Array(32)).toHex();
  const { desk, state, answer, settled, end } = session();
  const seen = Promise.withResolvers<void>();
  const server = Deno.serve(
    { hostname: "127.0.0.1", port: 0, onListen() {}, onError: () => plain(500) },
    async (request) => {
      const { port } = server.addr;
      const refused = refusalOf(request, { token, host: `127.0.0.1:${port}` });
      if (refused !== null) return plain(refused);
      if (request.method === "POST") {
        const length = Number(request.headers.get("content-length") ?? NaN);
        if (!(length <= mostBytes)) return plain(413);
        const form = await request.formData();
        const id = form.get("question");
        // a late click on a question that waits no more changes nothing
        if (state.question && id === state.question.id) answer(answerOf(state.question, form));
        return plain(303, { location: `/${token}/` });
      }
      await settled(patience);
      const html = pageHtml(state);
      if (state.end) seen.resolve();
      return new Response(html, { headers });
    },
  );
  return {
    address: `http://127.0.0.1:${server.addr.port}/${token}/`,
    desk,
    async end(lines) {
      end(lines);
      await within(lastLook, seen.promise);
    },
    close: () => server.shutdown(),
  };
}

const headers = {
  "content-type": "text/html; charset=utf-8",
  "content-security-policy":
    "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
  "cache-control": "no-store",
  // with no referrer at all, a browser would not say where an answer comes from
  "referrer-policy": "same-origin",
  "x-content-type-options": "nosniff",
  "cross-origin-opener-policy": "same-origin",
  "cross-origin-resource-policy": "same-origin",
};

function plain(status: number, more: Record<string, string> = {}): Response {
  return new Response(null, { status, headers: { ...headers, ...more } });
}
