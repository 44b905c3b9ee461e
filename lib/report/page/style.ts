import { darkScheme } from "../../figures/drawing/mod.ts";

/**
 * The report's style sheet: a text face for reading, a plain face for labels, tables and figures;
 * no font is fetched. Colours are custom properties, so that the dark scheme and paper change them
 * in one place; group colours belong to figures only.
 */
export function styleSheet(): string {
  return `
:root{--ink:#1c2126;--soft:#555c64;--paper:#fdfcfa;--sheet:#fff;--line:#dcd9d2;--wash:#f4f1eb;
--accent:#3d3a7c;--alarm:#9b1c1c;--alarm-wash:#fdeeee;--care:#7a5200;--care-wash:#fbf3e0;
--text:Charter,"Bitstream Charter","Sitka Text",Cambria,"Noto Serif",serif;
--plain:"Source Sans 3","Segoe UI",system-ui,-apple-system,"Helvetica Neue",Arial,sans-serif;
--mono:ui-monospace,"Cascadia Code","Source Code Pro",Menlo,Consolas,monospace;
--measure:66ch;color-scheme:light dark}
@media (prefers-color-scheme:dark){:root{--ink:#e6e4df;--soft:#a9adb3;--paper:#14181d;--sheet:#14181d;
--line:#343a42;--wash:#1c2128;--accent:#b3b0f0;--alarm:#ff9c9c;--alarm-wash:#3a1b1d;--care:#e6bd6a;
--care-wash:#2e2717;${darkScheme()}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-padding-top:1rem}
body{margin:0;background:var(--paper);color:var(--ink);font:1.0625rem/1.6 var(--text);
overflow-wrap:break-word;hyphens:manual}
main,footer{max-width:70rem;margin:0 auto;padding:0 clamp(1rem,4vw,2.5rem)}
a{color:var(--accent);text-decoration-thickness:.06em;text-underline-offset:.18em}
a:focus-visible,[tabindex]:focus-visible,summary:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
.skip{position:absolute;left:-99rem}
.skip:focus{left:1rem;top:1rem;background:var(--paper);padding:.5rem 1rem;z-index:1}
h1,h2,h3,h4,h5,h6{line-height:1.22;text-wrap:balance;font-weight:600;margin:0}
p,ul,ol,dl,blockquote{margin:0 0 1em;max-width:var(--measure)}
li{margin-bottom:.3em}
code,pre{font-family:var(--mono);font-size:.84em}
blockquote{border-left:3px solid var(--line);padding-left:1rem;color:var(--soft)}

.first{padding-top:clamp(1rem,2.5vw,1.75rem)}
.overline{font:600 .875rem/1.4 var(--plain);letter-spacing:.01em;color:var(--soft);max-width:none;margin-bottom:.5rem}
.overline span{font-weight:400}
.overline span::before{content:"/";margin:0 .5em;color:var(--line)}
h1{font-size:clamp(1.2rem,1.05rem + .8vw,1.6rem);letter-spacing:-.01em;max-width:74ch;font-weight:500;text-wrap:balance}
.lead{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1.06fr);gap:0 3rem;align-items:start;
margin-top:clamp(.9rem,1.6vw,1.3rem);border-top:2px solid var(--ink)}
.lead>:only-child{grid-column:1/-1}
.lead .figure{margin-top:1.2rem}
.answer>h2,nav h2{font:600 .875rem/1.4 var(--plain);color:var(--soft);padding-top:.7rem}
.answer .finding{padding:.9rem 0 1.1rem}
.answer .finding+.finding{border-top:1px solid var(--line)}
.answer h3{font-size:1.3rem;margin:0 0 .35rem;text-wrap:pretty}
.answer p{margin:0;font-size:1.0625rem;line-height:1.5}
.answer .from{font:.875rem/1.5 var(--plain);color:var(--soft)}
.strip{width:100%;max-width:26rem;height:auto;display:block;font:13px var(--plain);fill:var(--soft);margin:.7rem 0 .4rem}
.strip .margin{fill:var(--wash);stroke:var(--line);stroke-dasharray:2 3}
.strip .zero{stroke:var(--soft);stroke-width:1}
.strip .range{stroke:var(--ink);stroke-width:3;stroke-linecap:round}
.strip .point{fill:var(--ink)}
.answer .lede{font-size:1.2rem;padding:1rem 0}
.pair{border-top:2px solid var(--ink);padding-top:.9rem;display:grid;grid-template-columns:repeat(2,minmax(0,1fr));gap:0 2.5rem;margin-top:1.5rem}
.pair h2{font-size:1.15rem;margin-bottom:.5rem}
.pair ul{padding-left:1.1rem;font-size:1rem;line-height:1.5}

.paper{margin-top:2.5rem}
nav.contents{border-top:2px solid var(--ink);font:1rem/1.5 var(--plain)}
nav.contents ol{columns:3;column-gap:2.5rem;max-width:none;padding-left:1.4rem;margin-top:.6rem}
nav.contents li{break-inside:avoid;margin-bottom:.5rem}
nav.contents ul{list-style:none;padding:0;margin:.15rem 0 0;font-size:.9375rem}
nav.contents ul li{margin:0}
nav.contents a{text-decoration:none}
nav.contents a:hover{text-decoration:underline}
nav.contents ul a{color:var(--soft)}
nav.contents a{display:block;width:fit-content;min-height:1.5rem;padding:.1rem 0}
nav.contents a[aria-current]{font-weight:600;color:var(--ink);text-decoration:underline}
.to-contents{position:sticky;bottom:.75rem;display:block;width:max-content;margin:1rem 0 0 auto;padding:.45rem .9rem;
border:1px solid var(--accent);border-radius:1.2rem;background:var(--paper);font:600 .875rem/1.4 var(--plain);text-decoration:none}

section.notebook,section.standing{border-top:2px solid var(--ink);padding-top:.9rem}
.sections>section+section{margin-top:3.5rem}
.head h2{font-size:clamp(1.4rem,1.1rem + 1vw,1.75rem);letter-spacing:-.01em;margin-bottom:1.1rem;max-width:44rem}
.body>:first-child{margin-top:0}
section h3{font-size:1.25rem;margin:2.2rem 0 .6rem}
section h4{font-size:1.08rem;margin:1.6rem 0 .4rem}
.found{display:block;font:400 1.125rem/1.45 var(--text);letter-spacing:0;color:var(--soft);margin-top:.35rem;text-wrap:pretty}
.formula{overflow-x:auto;max-width:min(100%,var(--measure));padding:.2rem 0}
math{font-size:1.08em}

.figure,.table{margin:1.8rem 0;font-family:var(--plain)}
.drawing{max-width:46rem}
.drawing svg{display:block;width:100%;height:auto;--figure-font:var(--plain)}
figcaption,.table-note{font:.9375rem/1.5 var(--plain);color:var(--soft);max-width:46rem}
figcaption b{color:var(--ink)}
.figure figcaption{margin-top:.6rem}
.table figcaption{margin-bottom:.5rem}
.from-cell{margin:-.7rem 0 1.1rem}
.source{color:var(--soft);font:.875rem/1.5 var(--plain)}
.source a{color:inherit}
a.number{color:inherit;text-decoration-color:var(--accent);text-decoration-style:dotted;text-decoration-thickness:.1em}
.found a.number{text-decoration:underline 1px var(--line)}
.method{scroll-margin-top:1rem}
.works{padding-left:2.2rem;font-size:.9375rem}
.unmet{color:var(--care);font-weight:600}
.checklist td{white-space:normal}
.checklist th{white-space:nowrap}
:target{scroll-margin-top:1rem}
tr:target>*,.method:target,.works :target,.protocol :target{background:var(--care-wash)}
.table-note{margin:.4rem 0 0}
.pointer{font:.9375rem/1.5 var(--plain)}
.scroll{overflow-x:auto;background:linear-gradient(to right,var(--paper) 40%,transparent) left/3rem 100% no-repeat local,
linear-gradient(to left,var(--paper) 40%,transparent) right/3rem 100% no-repeat local,
linear-gradient(to right,var(--line),transparent) left/.7rem 100% no-repeat scroll,
linear-gradient(to left,var(--line),transparent) right/.7rem 100% no-repeat scroll;width:fit-content;max-width:100%;border-top:1.5px solid var(--ink);border-bottom:1.5px solid var(--ink)}
table{border-collapse:collapse;font:.9375rem/1.35 var(--plain);font-variant-numeric:tabular-nums lining-nums;min-width:min(100%,24rem)}
th,td{padding:.36rem .9rem .36rem 0;text-align:left;vertical-align:baseline;font-weight:400}
th:last-child,td:last-child{padding-right:.2rem}
thead th{font-weight:600;border-bottom:1px solid var(--ink);vertical-align:bottom}
tbody tr+tr>*{border-top:1px solid var(--line)}
th.broad{min-width:7.5rem}
.unit{font-weight:400;color:var(--soft)}
.unit.whole{white-space:nowrap}
td{white-space:nowrap}
td:not([style],.name){white-space:normal}
th.name{white-space:nowrap}
.wide th[scope=row]{min-width:11rem}

[hidden]{display:none!important}
.designs{display:flex;flex-wrap:wrap;gap:.2rem .4rem;margin:0 0 .7rem}
.designs button{border:1px solid var(--line);border-radius:1rem;padding:.25rem .8rem;min-height:1.75rem}
.designs button::before{content:attr(aria-label)}
.designs [aria-pressed=true]{background:var(--ink);border-color:var(--ink);color:var(--paper)}
.readout{position:sticky;bottom:.5rem;font:.875rem/1.45 var(--plain);background:var(--wash);border-left:3px solid var(--ink);padding:.4rem .8rem;margin-top:.4rem}
.readout:empty{padding:0;border:0;margin:0}
.readout b,.readout span{display:block}
.reading-line{stroke:var(--soft);stroke-width:1;pointer-events:none}
button{font:600 .8125rem/1.3 var(--plain);color:var(--accent);background:none;border:0;padding:0;cursor:pointer;text-align:inherit}
button:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
.copy{border:1px solid var(--line);border-radius:.25em;padding:.2rem .6rem;margin-left:.5rem;min-height:1.5rem}
.copy::before{content:"Copy"}
.copy[data-done=copied]::before{content:"Copied"}
.copy[data-done=selected]::before{content:"Selected"}
.sort{font:inherit;color:inherit;min-height:1.5rem}
.sort{text-decoration:underline dotted var(--soft);text-underline-offset:.2em}
[aria-sort=ascending] .sort::after{content:"\\a0↑";color:var(--accent)}
[aria-sort=descending] .sort::after{content:"\\a0↓";color:var(--accent)}
.badge{font:600 .75rem/1.3 var(--plain);border:1px solid currentColor;border-radius:.25em;padding:.05em .45em;
white-space:nowrap;color:var(--soft)}
.badge.exploratory{color:var(--care);border-style:dashed}
.finding-note,.note{border-left:3px solid var(--ink);padding:.1rem 0 .1rem 1rem;margin:1.4rem 0}
.note{border-left-color:var(--care)}
.finding-note p,.note p{margin:0}
.failed{background:var(--alarm-wash);color:var(--ink);border-left:5px solid var(--alarm);padding:.8rem 1rem;max-width:none;font-family:var(--plain)}
.failed b{color:var(--alarm)}
.failed ul,.failed p:last-child{margin-bottom:0}
.banner{margin-top:1.5rem}
.quiet{color:var(--soft);font-size:.9em}

details.code{margin:.6rem 0;font:.875rem/1.5 var(--plain);color:var(--soft)}
summary{cursor:pointer;width:max-content;max-width:100%;padding:.15rem 0}
pre{background:var(--wash);color:var(--ink);padding:.8rem 1rem;overflow-x:auto;line-height:1.5;margin:.4rem 0 1rem;max-width:min(100%,46rem)}
.printed{border-left:3px solid var(--line)}
.printed.error,.printed.stderr{border-left-color:var(--alarm)}
.protocol{max-width:none}
.protocol div{display:grid;grid-template-columns:11rem minmax(0,1fr);gap:0 1.5rem;padding:.55rem 0;border-top:1px solid var(--line)}
.protocol dt{font:600 .9375rem/1.6 var(--plain)}
.protocol dd{margin:0;max-width:var(--measure)}
.columns{columns:16rem;max-width:none;font-family:var(--plain);font-size:.9375rem}
.versions{font:.9375rem/1.6 var(--plain)}
.hash{font-size:.8em}
footer{border-top:1px solid var(--line);margin-top:3.5rem;padding-top:1rem;padding-bottom:2.5rem;font:.875rem/1.5 var(--plain);color:var(--soft)}

@media (min-width:68rem){
.paper{display:grid;grid-template-columns:14.5rem minmax(0,1fr);gap:0 2.5rem}
nav.contents{position:sticky;top:0;align-self:start;max-height:100vh;overflow-y:auto;font-size:.9375rem;padding-bottom:1rem}
nav.contents ol{columns:1;padding-left:1.1rem}
nav.contents ul{font-size:.84375rem}
.to-contents{display:none}
}
@media (max-width:60rem){
.lead{grid-template-columns:minmax(0,1fr)}
nav.contents ol{columns:2}
}
@media (max-width:46rem){
body{font-size:1rem}
.pair,.protocol div{grid-template-columns:minmax(0,1fr)}
.pair section+section{margin-top:1rem}
nav.contents ol{columns:1}
.protocol dd{margin-top:.1rem}
}
@media print{
@page{size:A4;margin:14mm 16mm 17mm}
@page sideways{size:A4 landscape}
figure.table:has(.wide){page:sideways}
@page{@bottom-right{content:counter(page) " / " counter(pages);font:9pt sans-serif;color:#555}}
:root{--paper:#fff;--ink:#000;--soft:#444;--line:#bbb;--wash:#f3f3f3;--accent:#000;--alarm:#800;--alarm-wash:#fff;--care:#543900}
html{font-size:9.6pt}
body{font-size:1rem;line-height:1.45;background:none}
main,footer{max-width:none;padding:0}
.first{padding-top:0}
h1{font-size:15pt;max-width:none}
h2,h3,h4,.head,figcaption{break-after:avoid}
.figure figcaption{break-before:avoid;break-after:auto}
figure.figure,figure.table:not(.long),h2,figcaption,.finding,.note,.finding-note,tr,.protocol div{break-inside:avoid}
.drawing{max-width:114mm}
.drawing svg{max-height:205mm;width:auto;max-width:100%}
.lead{grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:0 8mm}
.lead .drawing svg{max-height:100mm}
.answer .finding{padding:.4rem 0 .6rem}
.answer h3{font-size:1.15rem}
.strip{max-width:62mm}
.pair{margin-top:.8rem}
.pair ul{font-size:.9rem;line-height:1.35}
.pair li{margin-bottom:.15em}
nav.contents{break-before:page;position:static;max-height:none;margin-top:0}
nav.contents ol{columns:3}
.paper{display:block}
.sections>section{margin-top:11mm}
.scroll{overflow:visible;background:none}
.table .scroll{break-before:avoid}
table{font-size:.9rem;min-width:0;width:100%}
th,td{white-space:normal;padding-right:.5rem}
:not(.wide)>tbody td[style]{white-space:nowrap}
.wide{font-size:.78rem}
.wide th,.wide td{padding:.16rem .35rem .16rem 0;line-height:1.22}
.wide tbody th,.wide td:not([style]){overflow-wrap:anywhere}
.wide tbody td[style]{white-space:nowrap}
.wide th[scope=row],th.broad{min-width:0}
thead{display:table-header-group}
pre{white-space:pre-wrap;overflow:visible}
details.code:not([open]),.skip,.to-contents,.copy,.designs,.readout,.reading-line{display:none}
.sort{display:contents;text-decoration:none}
.sort::after{content:none!important}
a{text-decoration:none;color:inherit}
.hash{font-size:6.5pt;overflow-wrap:anywhere}
p,li{orphans:3;widows:3}
}
`.trim();
}
