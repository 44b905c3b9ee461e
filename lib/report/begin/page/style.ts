/** What this page adds to the style sheet of every page: forms, and a heading as a card. */
export const pageStyle = `
form{margin:0 0 1rem;max-width:46rem}
fieldset{border:1px solid var(--line);border-radius:.4em;padding:.6rem 1rem 1rem;margin:0 0 .8rem;min-width:0}
legend{font:600 1rem/1.4 var(--plain);padding:0 .4rem;margin-left:-.4rem}
.field{margin:0 0 .7rem;font:1rem/1.4 var(--plain)}
.field label{display:block;margin-bottom:.2rem;overflow-wrap:anywhere}
input[type=text],select{font:1rem/1.4 var(--plain);color:var(--ink);background:var(--sheet);border:1px solid var(--soft);border-radius:.3em;padding:.4rem .5rem;width:100%;min-height:2.5rem}
.choice{display:flex;gap:.6rem;align-items:baseline;font:1rem/1.4 var(--plain);padding:.35rem 0;min-height:2rem;overflow-wrap:anywhere}
.choice input{width:1.15rem;height:1.15rem;flex:none;accent-color:var(--accent);transform:translateY(.15rem)}
input:focus-visible,select:focus-visible{outline:3px solid var(--accent);outline-offset:2px}
main button{font:600 1rem/1.3 var(--plain);border:1px solid var(--accent);border-radius:.4em;padding:.55rem 1rem;min-height:2.75rem;margin:0 .5rem .4rem 0;max-width:100%;overflow-wrap:anywhere}
main button.main{background:var(--accent);color:var(--paper)}
.aside{display:flex;flex-wrap:wrap;gap:0 .5rem;margin:1.2rem 0 2rem;padding-top:1rem;border-top:1px solid var(--line)}
.aside form{margin:0}
.aside button{border-color:var(--line);font-weight:400}
.first h1{margin-bottom:.8rem;font-weight:600}
pre.said,pre.end{white-space:pre-wrap;overflow-wrap:anywhere;max-width:70rem;font:1rem/1.5 var(--plain)}
.facts{margin:0 0 1rem;max-width:none;font:.9375rem/1.45 var(--plain)}
.facts div{display:grid;grid-template-columns:7rem minmax(0,1fr);gap:0 1rem;padding:.1rem 0}
.facts dt{color:var(--soft)}
.facts dd{margin:0;overflow-wrap:anywhere}
.headings{list-style:none;padding:0;max-width:none;display:grid;grid-template-columns:repeat(auto-fill,minmax(min(100%,24rem),1fr));gap:0 2rem}
.headings li{border-top:1px solid var(--line);padding:.6rem 0 .2rem;margin:0}
.headings li[aria-current]{border-top:3px solid var(--accent)}
.headings .name{margin:0 0 .3rem;font:1rem/1.4 var(--plain);overflow-wrap:anywhere}
.headings .facts{font-size:.875rem;margin-bottom:.4rem}
main>section{margin-top:2.5rem}
@media (max-width:30rem){.facts div{grid-template-columns:minmax(0,1fr)}main button{width:100%;margin-right:0}.aside{display:block}}
`;
