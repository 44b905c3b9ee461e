import assert from "node:assert/strict";
import { markdownTree, safeSvg } from "../../../lib/report/markup/mod.ts";
import { htmlText } from "../../../lib/report/tree/mod.ts";

// Each tries to fetch, to run, to hide or to cover something. None may leave more than words.
const drawings: readonly string[] = [
  `<a xlink:href="http://x.invalid/"><text>a</text></a>`,
  `<use href="http://x.invalid/a.svg#b"/>`,
  `<image href="http://x.invalid/a.png"/>`,
  `<feImage href="http://x.invalid/"/>`,
  `<style>@import "http://x.invalid/a.css";</style>`,
  `<style>rect{fill:url(http://x.invalid/)}</style>`,
  `<style>rect{fill:u\\72l(http://x.invalid/)}</style>`,
  `<style>rect{background:image-set("http://x.invalid/" 1x)}</style>`,
  `<style>@font-face{font-family:a;src:url(http://x.invalid/)}</style>`,
  `<style>rect{--a:url(http://x.invalid/);fill:var(--a)}</style>`,
  `<style>rect{mask:src("http://x.invalid/")}</style>`,
  `<style>rect{cursor:url(http://x.invalid/),auto}</style>`,
  `<rect style="fill:url(http://x.invalid/)"/>`,
  `<rect fill="url(http://x.invalid/#a)"/>`,
  `<rect filter="url(http://x.invalid/#a)"/>`,
  `<rect onload="alert(1)"/>`,
  `<script>fetch("http://x.invalid/")</script>`,
  `<foreignObject><body onload="alert(1)"/></foreignObject>`,
  `<animate attributeName="href" to="javascript:alert(1)"/>`,
  `<set attributeName="onmouseover" to="alert(1)"/>`,
  `<handler>alert(1)</handler>`,
  `<text><tspan xlink:href="javascript:alert(1)">a</tspan></text>`,
  `<style>rect{fill:rgb(from url(http://x.invalid/) r g b)}</style>`,
  `<style>@namespace url(http://x.invalid/);</style>`,
  `<style>@property --a{syntax:"<url>";inherits:false;initial-value:url(http://x.invalid/)}</style>`,
  `<style>body{display:none}.banner{display:none}</style>`,
  `<style>:root{display:none}</style>`,
  `<style>@layer a{*{visibility:hidden}}</style>`,
  `<style>@scope (html){*{opacity:0}}</style>`,
  `<linearGradient id="a" href="http://x.invalid/#b"/>`,
  `<marker id="m"><image href="http://x.invalid"/></marker>`,
  `<?xml-stylesheet href="http://x.invalid/"?>`,
  `<!ENTITY x SYSTEM "file:///etc/passwd">`,
  `<![CDATA[<script>alert(1)</script>]]>`,
  `<desc><![CDATA[</desc><script>alert(1)</script>]]></desc>`,
  `<title><img src=http://x.invalid></title>`,
  `<text style="position:fixed;inset:0">a</text>`,
  `<rect style="transform:scale(1000)"/>`,
];
const prose: readonly string[] = [
  "[a](javascript:alert(1))",
  "[a](JaVaScRiPt&colon;alert(1))",
  "[a](\u0001javascript:alert(1))",
  "[a](data:text/html,<script>alert(1)</script>)",
  "![a](http://x.invalid/p.png)",
  "<img src=http://x.invalid/ onerror=alert(1)>",
  "<iframe srcdoc='<script>alert(1)</script>'>",
  "<meta http-equiv=refresh content='0;url=http://x.invalid/'>",
  "<base href=http://x.invalid/>",
  "<link rel=stylesheet href=http://x.invalid/>",
  "<form action=http://x.invalid/><button>x</button></form>",
  "<a href='http://x.invalid/' ping='http://x.invalid/p'>a</a>",
  "<details ontoggle=alert(1) open>a</details>",
  "<div style='background:url(http://x.invalid/)'>a</div>",
  "<math><mtext><img src=http://x.invalid/></mtext></math>",
  "<svg><style><img src=http://x.invalid/></style></svg>",
  "$\\href{javascript:alert(1)}{a}$",
  "$\\includegraphics{http://x.invalid/a.png}$",
  "$\\htmlStyle{position:fixed}{a}$",
  "$\\def\\a{\\a\\a}\\a$",
  "$\\url{http://x.invalid/}$",
  "[a]: http://x.invalid/\n[a]",
  "<http://x.invalid/>",
  "<video src=http://x.invalid/ autoplay>",
  "<audio src=http://x.invalid/>",
  "<object data=http://x.invalid/>",
  "<embed src=http://x.invalid/>",
  "<input type=image src=http://x.invalid/>",
  "<table background=http://x.invalid/><tr><td>a</td></tr></table>",
  "<noscript><p title='</noscript><img src=http://x.invalid/>'>",
  "<template><img src=http://x.invalid/></template>",
  "<a id=answer name=banner>clobber</a>",
  "<form id=documentElement><input name=attributes></form>",
  "<style>*{display:none}</style>",
  "<p hidden>",
  "<dialog open>over</dialog>",
  "<marquee>a</marquee>",
];

const elements =
  /<(script|img|iframe|meta|base|link|form|input|video|audio|object|embed|style|template|dialog|image|use|foreignobject|animate|set|a\b[^>]*(ping|data:|javascript:))/i;
const inATag =
  /\son\w+=|javascript:|url\(|src=|srcset=|background|position:|ping=|xlink|x\.invalid\/a\.(css|svg|png)/i;
const tagsOf = (markup: string) => markup.match(/<[^>]+>/g)?.join("") ?? "";

Deno.test(`none of ${drawings.length} hostile drawings fetches, runs, hides or covers anything`, () => {
  for (const inside of drawings) {
    const safe = safeSvg(
      `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">${inside}</svg>`,
    );
    const tags = tagsOf(safe ?? "");
    assert.doesNotMatch(tags, elements, inside);
    assert.doesNotMatch(tags, inATag, inside);
    assert.doesNotMatch(safe ?? "", /x\.invalid|display:|visibility|opacity|passwd/, inside);
  }
});

Deno.test(`none of ${prose.length} hostile texts fetches, runs, hides or covers anything`, () => {
  for (const text of prose) {
    const tags = tagsOf(htmlText(markdownTree(text, { shift: 2, prefix: "a" })));
    assert.doesNotMatch(tags, elements, text);
    assert.doesNotMatch(tags, inATag, text);
  }
});

Deno.test("what is not hostile stays", () => {
  const drawing = safeSvg(
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect fill="red" x="1" y="1"/></svg>',
  );
  assert.match(drawing ?? "", /<rect [^>]*fill="red"/);
  const text = htmlText(markdownTree("*A* [b](https://c.example/)", { shift: 2, prefix: "a" }));
  assert.match(text, /<em>A<\/em> <a href="https:\/\/c\.example\/"[^>]*>b<\/a>/);
});
