//! How the sheets look: ink on paper, fine rules, and the same in the dark.

/// The style sheet of the page.
pub const STYLE: &str = "\
:root{color-scheme:light dark;--paper:#fff;--ink:#111;--soft:#555;--rule:#111;--fine:#9a9a9a;--tint:#f2f2ee}\
@media (prefers-color-scheme:dark){:root{--paper:#15171a;--ink:#ececec;--soft:#b4b4b4;--rule:#d5d5d5;--fine:#5c6066;--tint:#1e2125}}\
*{box-sizing:border-box}\
body{font:14px/1.4 Arial,'Liberation Sans',Helvetica,sans-serif;margin:0;background:var(--paper);color:var(--ink);\
font-variant-numeric:tabular-nums;overflow-wrap:break-word}\
bdi{overflow-wrap:anywhere}\
.sheet{max-width:58rem;margin:1.5rem auto;padding:0 1rem 1rem;}\
.frame{border:1.6px solid var(--rule);padding:.9rem 1rem 0}\
h1{font-size:1.5rem;line-height:1.2;margin:0 0 .1rem}\
h2{font-size:1.02rem;margin:1.3rem 0 .35rem;padding-bottom:.15rem;border-bottom:1.6px solid var(--rule)}\
h3{font-size:.9rem;margin:1.1rem 0 .3rem}\
p{margin:.35rem 0}ul{margin:.3rem 0;padding-left:1.1rem}li{margin:.15rem 0}\
small,.soft{color:var(--soft)}code{font:.92em 'Liberation Mono',Consolas,monospace}\
a{color:inherit}\
.wide{overflow-x:auto}\
table{border-collapse:collapse;width:100%;margin:.4rem 0 .7rem;font-size:.86rem}\
caption{text-align:left;font-weight:700;padding:.15rem 0 .2rem}\
th,td{text-align:left;vertical-align:top;padding:.17rem .55rem .17rem 0;border-bottom:.6px solid var(--fine)}\
thead th{border-bottom:1px solid var(--rule);font-weight:400;color:var(--soft);vertical-align:bottom}\
tbody th{font-weight:600}\
table.says tbody th{width:6.2rem;font-weight:400;color:var(--soft)}\
table.says td span{display:inline-block;margin-right:1.4em}\
table.tally tbody th{font-weight:400}\
table.buy{table-layout:fixed}table.buy th:first-child{width:8%}table.buy th:nth-child(2){width:25%}\
table.buy th:nth-child(3){width:16%}table.buy th:nth-child(4){width:27%}\
td.n,th.n{white-space:nowrap}\
.numbers{columns:2;column-gap:1.6rem}\
.numbers>div{break-inside:avoid}\
.numbers table{font-size:.8rem}.numbers td{white-space:nowrap}.numbers .run td,.numbers .w{white-space:normal}.numbers tbody th{font-weight:400}\
.pair table{font-size:.8rem;width:auto}.pair td{white-space:nowrap}.pair th{font-weight:400;overflow-wrap:anywhere}h2 small{font-weight:400;font-size:.8em}\
.lists th{overflow-wrap:anywhere}.lists td{white-space:nowrap}\
.lists{display:grid;grid-template-columns:repeat(auto-fit,minmax(14rem,1fr));gap:0 1.4rem}\
.two{display:grid;grid-template-columns:minmax(0,98mm) minmax(13rem,1fr);gap:0 1.4rem;align-items:start}\
.block{display:flex;flex-wrap:wrap;margin:1rem -1rem 0;border-top:1.6px solid var(--rule)}\
.block>div{flex:1 1 auto;min-width:5.5rem;padding:.25rem .6rem .35rem;border-right:.6px solid var(--fine)}\
.block>div:last-child{border-right:0}\
.block small{display:block;font-size:.68rem}\
.mark{display:inline-block;min-width:4.3em;font-weight:700;white-space:nowrap}\
.mark.error,.mark.warning{border:1px solid var(--rule);padding:0 .3em;text-align:center}\
.mark.error{background:var(--ink);color:var(--paper)}\
.caution{border-left:4px solid var(--rule);padding-left:.8rem}\
svg.drawing{display:block;max-width:100%;height:auto}\
.cut{display:flex;flex-wrap:wrap;gap:4mm}.cut figure{margin:0}\
.drawing text{font-family:inherit;fill:var(--ink);unicode-bidi:isolate}\
.drawing .h{paint-order:stroke;stroke:var(--paper);stroke-width:.9;stroke-linejoin:round}\
.drawing :is(.w,.n,.f,.d,.e,.c,.r){fill:none;stroke:var(--ink)}\
.drawing .w{stroke-width:.5}.drawing .n{stroke-width:.25}.drawing .f{stroke-width:.13}\
.drawing .d{stroke-width:.25;stroke-dasharray:3 .75}\
.drawing .e{stroke-width:.18;stroke-dasharray:2.4 1.2}\
.drawing .c{stroke-width:.25;stroke-dasharray:6 .75 .15 .75}\
.drawing .r{stroke-width:.25;stroke-dasharray:3 .6 .15 .6 .15 .6}\
.drawing .k{fill:var(--ink)}.drawing .p{fill:var(--paper)}\
@media (max-width:46rem){.two{grid-template-columns:1fr}.numbers{columns:1}.sheet{padding:0 .4rem .4rem}\
.frame{padding:.7rem .6rem 0}.block{margin:1rem -.6rem 0}table.says tbody th{width:4.6rem}}\
@page{margin:11mm 10mm 12mm}\
@media print{:root{color-scheme:light;--paper:#fff;--ink:#000;--soft:#333;--rule:#000;--fine:#888;--tint:#fff}\
body{font-size:7.9pt;line-height:1.28}table{margin:.25rem 0 .45rem}th,td{padding:.07rem .5rem .07rem 0}.numbers{columns:3;column-gap:1rem}.numbers table{font-size:6.5pt;margin:.15rem 0 .3rem}.numbers th,.numbers td{padding-right:.35rem}h2{margin-top:.7rem}table{font-size:7.6pt}table.says tbody th{width:4.2rem}.sheet{max-width:none;margin:0;padding:0;break-before:page}.sheet:first-child{break-before:auto}\
.frame{border:0;padding:0}.block{margin:0 0 2mm;border:1px solid var(--rule)}h2{break-after:avoid}h3,caption{break-after:avoid}\
tr,li,svg,.block{break-inside:avoid}.block,.last{break-before:avoid}.pair table{font-size:6.5pt}thead{display:table-header-group}.two{grid-template-columns:95mm 1fr}\
.wide{overflow:visible}a{text-decoration:none}}";
