/**
 * The look of the report: two inks on paper. What the board holds stands in one ink with a square, what crosses the air in
 * the other with a circle; a disagreement is hatched in both, with a word and a triangle.
 */
export const reportStyle = `
:root{--paper:#f7f5ef;--ink:#1b1d1f;--board:#0b6a66;--air:#c8421b;
--hair:color-mix(in srgb,var(--ink) 14%,transparent);--soft:color-mix(in srgb,var(--ink) 68%,var(--paper));
color-scheme:light dark}
@media(prefers-color-scheme:dark){:root{--paper:#15171a;--ink:#e9e6df;--board:#4fc1b5;--air:#ff8a5c}}
*{box-sizing:border-box}
html{background:var(--paper);color:var(--ink);font:14px/1.45 "IBM Plex Sans",system-ui,sans-serif;
font-variant-numeric:tabular-nums;-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:1440px;padding:0 24px 48px}
h1{font-size:28px;line-height:1.15;font-weight:600;margin:0}
h2{font-size:20px;font-weight:600;margin:40px 0 12px}
h3{font-size:16px;font-weight:600;margin:0;overflow-wrap:anywhere}
p{margin:0}
a{color:inherit}
a:focus-visible,summary:focus-visible{outline:2px solid var(--ink);outline-offset:2px}
.mono,pre,code{font-family:"IBM Plex Mono",ui-monospace,"Liberation Mono",monospace;font-size:12px}
.soft{color:var(--soft)}
.small{font-size:12px}
header{padding:28px 0 20px;border-bottom:1px solid var(--hair);display:grid;gap:16px;
grid-template-columns:minmax(0,1fr) minmax(0,1.4fr);align-items:center}
.line{display:grid;grid-template-columns:auto minmax(24px,1fr) auto minmax(24px,1fr) auto;gap:10px;align-items:center}
.line i{height:0;border-top:1.5px solid var(--ink)}
.end{display:flex;gap:8px;align-items:center;font-size:14px}
.sq{width:16px;height:16px;background:var(--board);flex:none}
.ci{width:16px;height:16px;border-radius:50%;border:2.5px solid var(--air);flex:none}
.figures{display:flex;border-bottom:1px solid var(--hair)}
.figure{padding:20px 32px 16px 0;margin-right:32px;border-right:1px solid var(--hair)}
.figure:last-child{border-right:0;margin-right:0}
.figure span{display:block;font-size:12px}
.figure b{display:block;font-size:44px;line-height:1.1;font-weight:500}
.figure.none b{color:var(--soft);font-weight:300}
.sentence{font-size:16px;padding:16px 0 0;max-width:76ch}
.strip{width:100%;border-collapse:collapse;margin-top:20px;border-top:1px solid var(--hair)}
.strip th,.strip td{text-align:left;font-weight:400;vertical-align:top;padding:7px 16px 7px 0;border-bottom:1px solid var(--hair)}
.strip th{width:9.5em;font-weight:500}
.strip .asks{width:24em;color:var(--soft)}
.strip .count{width:13em;text-align:right;padding-right:0}
.marks{display:flex;flex-wrap:wrap;gap:3px;padding-top:4px;line-height:1}
.marks>*{width:8px;height:10px;text-decoration:none;font-size:10px;line-height:10px;text-align:center;display:block}
.passed{background:color-mix(in srgb,var(--ink) 46%,transparent)}
.not-reachable{border:1px solid var(--soft)}
.marks>.failed,.marks>.inconclusive{width:14px;font-size:13px;font-weight:700}
.case{border:1px solid var(--hair);border-radius:2px;padding:16px 20px 18px;margin:0 0 16px;display:grid;gap:14px;grid-template-columns:minmax(0,1fr)}
.case>header{all:unset;display:grid;gap:4px}
.verdict{font-size:12px;font-weight:600;white-space:nowrap}
.sides{display:grid;grid-template-columns:1fr 1fr;gap:12px}
.side{padding:10px 12px;border:1px solid var(--hair);overflow-wrap:anywhere}
.side span{display:block;font-size:12px;color:var(--soft)}
.seen{background:repeating-linear-gradient(135deg,color-mix(in srgb,var(--board) 20%,transparent) 0 4px,transparent 4px 8px,
color-mix(in srgb,var(--air) 20%,transparent) 8px 12px,transparent 12px 16px)}
.seen>*{background:var(--paper);padding:1px 4px;width:fit-content;max-width:100%}
code{font-size:.92em}
pre{margin:0;overflow-x:auto;padding:8px 0;line-height:1.5}
.exchange{width:100%;border-collapse:collapse;font-size:12px}
.exchange th{font-weight:400;color:var(--soft);text-align:left;padding:0 12px 4px 0}
.exchange td{padding:3px 12px 3px 0;border-top:1px solid var(--hair);vertical-align:top;overflow-wrap:anywhere}
.exchange .t{white-space:nowrap;text-align:right;width:7em}
.exchange .w{white-space:nowrap;width:13em}
.exchange .h{width:30%;color:var(--soft)}
.b{color:var(--board)}.a{color:var(--air)}
.b::before{content:"\\25a0  "}.a::before{content:"\\25cf  "}.l{color:var(--soft)}.l::before{content:"\\2013  "}
details.family{border-bottom:1px solid var(--hair)}
summary{cursor:pointer;padding:9px 0;list-style-position:outside}
details.family>summary{font-size:16px;margin-left:18px}
details.family>div{padding:0 0 20px 18px}
details.one>summary{display:grid;grid-template-columns:minmax(0,26em) minmax(0,1fr) 8em;gap:16px;padding:5px 0;
border-top:1px solid var(--hair);list-style:none}
details.one>summary::-webkit-details-marker{display:none}
details.one>summary .mono{overflow-wrap:anywhere}
details.one>summary .mono::before{content:"+ ";color:var(--soft)}
details.one[open]>summary .mono::before{content:"\\2212  "}
details.one>div{display:grid;grid-template-columns:minmax(0,1fr);gap:12px;padding:8px 0 20px}
details.one .verdict{text-align:right;font-weight:400}
footer{margin-top:48px;padding-top:16px;border-top:1px solid var(--hair);display:grid;gap:10px;max-width:90ch}
@media(max-width:900px){
.figures{display:grid;grid-template-columns:repeat(4,auto)}
body{padding:0 16px 40px}
header,.sides{grid-template-columns:minmax(0,1fr)}
.figure{padding:14px 0 10px;margin-right:12px}.figure b{font-size:28px}
.strip,.strip tbody,.strip tr{display:block}
.strip tr{display:grid;grid-template-columns:minmax(0,1fr) auto;border-bottom:1px solid var(--hair);padding:8px 0}
.strip th,.strip td{width:auto!important;border:0;padding:1px 0}
.strip .asks,.strip .m{grid-column:1/-1}
.strip th{order:0}.strip .count{order:1}.strip .asks{order:2}.strip .m{order:3}
.case{padding:14px 14px 16px}
.exchange thead{display:none}
.exchange tr{display:grid;grid-template-columns:auto 1fr;border-top:1px solid var(--hair);padding:4px 0}
.exchange td{border:0;padding:0 8px 0 0;width:auto!important;text-align:left!important}
.exchange .h,.exchange .d{grid-column:1/-1}
details.one>summary{grid-template-columns:minmax(0,1fr) auto;gap:2px 12px}
details.one>summary .soft{grid-column:1/-1;order:3}
}
@media print{
:root{--paper:#fff;--ink:#000;--board:#0b6a66;--air:#c8421b;color-scheme:light}
html{font-size:11px}
body{max-width:none;padding:0}
.case{break-inside:avoid}
.seen,.passed,.sq{print-color-adjust:exact;-webkit-print-color-adjust:exact}
h2{break-after:avoid}
}
`;
