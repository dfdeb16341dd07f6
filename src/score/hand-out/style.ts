/**
 * How a hand-out looks: dark ink on white, or the other way round where the reader's system asks for
 * it; on paper always ink on white, without what can only be pressed.
 */
export const style = `
  :root { color-scheme: light dark; --ink: #111; --quiet: #484848; --page: #fff; --line: #b4b4b4;
          --mark: #fff0b8; --strong: #7a3b00; }
  @media (prefers-color-scheme: dark) {
    :root { --ink: #ececec; --quiet: #bdbdbd; --page: #161616; --line: #565656;
            --mark: #4a3a05; --strong: #ffc46b; }
  }
  body { font: 11pt/1.4 Georgia, 'Times New Roman', serif; color: var(--ink);
         background: var(--page); max-width: 48em; margin: 2em auto; padding: 0 1em; }
  h1 { font-size: 1.6em; margin: 0; }
  h2 { font-size: 1.3em; margin: 2em 0 .2em; break-after: avoid; }
  h3 { font-size: 1.05em; margin: 1.6em 0 .3em; break-after: avoid; }
  p { margin: .2em 0 .8em; }
  .facts, .caution { color: var(--quiet); }
  figure { margin: 0 0 .6em; break-inside: avoid; }
  figure svg { display: block; width: 100%; height: auto; color: var(--ink); }
  figure svg svg { color: var(--ink); }
  table { border-collapse: collapse; width: 100%; margin: .4em 0 1.4em; }
  caption { text-align: left; font-weight: bold; padding: .2em 0; }
  thead { display: table-header-group; }
  thead th { text-align: left; font-weight: normal; color: var(--quiet);
             border-bottom: 1pt solid var(--ink); }
  th, td { padding: .25em .8em .25em 0; vertical-align: top; text-align: left; }
  tbody tr { border-top: .5pt solid var(--line); break-inside: avoid; }
  tbody tr.why { border-top: 0; }
  tr.why td { color: var(--quiet); font-size: .92em; padding-top: 0; }
  table .symbol { font-weight: bold; white-space: nowrap; }
  table .numeral { font-weight: normal; color: var(--quiet); }
  table .note { display: inline-block; min-width: 3.6em; white-space: nowrap; }
  .degree { color: var(--quiet); font-size: .85em; }
  table .label { font-style: italic; }
  .blank { display: inline-block; min-width: 6em; border-bottom: 1pt solid var(--ink);
           height: 1.2em; }
  .notes .blank { min-width: 2.4em; margin-right: .4em; }
  .listening { border: 1pt solid var(--line); padding: .6em 1em; margin: 1em 0; }
  .listening label, .listening input { vertical-align: middle; }
  button { font: inherit; color: inherit; background: transparent; border: 1pt solid var(--quiet);
           border-radius: .25em; padding: .15em .6em; min-height: 1.8em; cursor: pointer; }
  button:disabled { opacity: .6; cursor: default; }
  button:focus-visible, input:focus-visible, summary:focus-visible {
    outline: .2em solid var(--strong); outline-offset: .1em; }
  button[aria-pressed='true'] { background: var(--mark); border-color: var(--strong); }
  button.chord { white-space: nowrap; }
  [aria-current='true'] { background: var(--mark); box-shadow: inset .3em 0 0 var(--strong); }
  button.chord::after { content: ' \\2669'; visibility: hidden; }
  [aria-current='true'] button.chord::after { visibility: visible; }
  svg .sounding { color: var(--strong); fill: var(--strong); stroke: var(--strong); }
  dt { font-weight: bold; }
  dd { margin: 0 0 .4em; }
  li { break-inside: avoid; }
  details { margin: .2em 0; }
  .solutions { break-before: page; border-top: 2pt solid var(--ink); margin-top: 3em; }
  @page { margin: 15mm; }
  @media print {
    :root { color-scheme: light; --ink: #111; --quiet: #484848; --page: #fff; --line: #b4b4b4;
            --mark: #fff; --strong: #111; }
    body { margin: 0; padding: 0; max-width: none; font-size: 10pt; }
    .listening, .controls, noscript { display: none; }
    button.chord { border: 0; padding: 0; min-height: 0; }
    button.chord .sign { display: none; }
    button.chord::after { content: none; }
    summary { list-style: none; }
    summary::-webkit-details-marker { display: none; }
    summary::after { content: ' ______________________________'; }
    .solutions { border: 0; margin: 0; }
  }
`;
