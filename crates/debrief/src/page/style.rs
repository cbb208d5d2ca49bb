//! The shell of every page: head, style, nothing from elsewhere.

use crate::plot::escape;

/// Wraps the body of a page: its markup is taken as it is, the title escaped.
#[must_use]
pub fn document(title: &str, body: &str) -> String {
    // The policy forbids scripts and every load: even if some text slipped
    // through unescaped, a browser would not run it.
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; \
         style-src 'unsafe-inline'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"color-scheme\" content=\"light\">\n\
         <title>{} · Larkfield</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n{body}\
         </main>\n</body>\n</html>\n",
        escape(title),
    )
}

const STYLE: &str = r#"
:root{--ink:#20262e;--soft:#4a525d;--line:#d9d6ca;--paper:#fffefa;--wash:#f4f2e8;--blue:#005a8f;--warn:#8a3a00}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0;background:var(--paper);color:var(--ink);font:1rem/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans",sans-serif;overflow-wrap:anywhere}
main{max-width:62rem;margin:0 auto;padding:1rem .8rem 3rem}
h1{font-size:clamp(1.35rem,1.1rem + 1.6vw,2rem);line-height:1.2;margin:.15rem 0 .6rem;text-wrap:balance}
h2{font-size:1.2rem;line-height:1.25;margin:2.4rem 0 .5rem;padding-top:.7rem;border-top:2px solid var(--ink)}
h3{font-size:1rem;line-height:1.3;margin:0 0 .2rem}
p{margin:.4rem 0;max-width:44rem}
.eyebrow{margin:0;color:var(--soft);font-size:.92rem}
.result{display:grid;grid-template-columns:auto 1fr;gap:.2rem 1.1rem;align-items:center;margin:.8rem 0}
.points{font-size:3.4rem;line-height:1;font-weight:650;font-variant-numeric:tabular-nums;letter-spacing:-.02em}
.points small{font-size:1rem;font-weight:400;letter-spacing:0;color:var(--soft)}
.verdict{margin:0;font-weight:600}
.meter{height:.6rem;border:1px solid var(--ink);border-radius:.3rem;background:#fff;overflow:hidden;grid-column:1/-1;max-width:44rem}
.meter i{display:block;height:100%;background:var(--blue)}
.zero,.hurt{border-left:.35rem solid var(--warn);background:#fdf1e7;padding:.5rem .8rem;margin:.8rem 0;max-width:44rem}
.zero strong,.hurt strong{color:var(--warn)}
.next{margin:.4rem 0;padding-left:1.4rem;max-width:44rem}
.next li{margin:.35rem 0}
.next li:first-child{font-weight:600}
table{border-collapse:collapse;width:100%}
th,td{text-align:left;vertical-align:top;padding:.45rem .9rem .45rem 0;border-bottom:1px solid var(--line)}
thead th{overflow-wrap:normal;font-size:.85rem;font-weight:600;color:var(--soft);border-bottom:1px solid var(--ink)}
.stack tbody th{min-width:9rem;font-weight:600}
.num{font-variant-numeric:tabular-nums;white-space:nowrap}
.bar{display:inline-block;width:3.2rem;height:.5rem;border:1px solid var(--soft);border-radius:.25rem;vertical-align:.05rem;background:#fff;overflow:hidden;margin-right:.4rem}
.bar.long{width:8rem}
.bar i{display:block;height:100%;background:var(--blue)}
.events{list-style:none;margin:.4rem 0;padding:0;columns:2 20rem;column-gap:2rem}
.events li{display:grid;grid-template-columns:1.7rem 4.6rem 1fr;gap:.45rem;padding:.18rem 0;break-inside:avoid}
.events b{border:1px solid #6b7480;border-radius:.2rem;text-align:center;font-size:.8rem;line-height:1.35rem;height:1.4rem;font-weight:600}
.figures{display:grid;grid-template-columns:repeat(auto-fit,minmax(min(100%,21rem),1fr));gap:1.6rem 1.8rem;margin:.9rem 0}
figure{margin:0;min-width:0;break-inside:avoid;max-width:30rem}
figure+figure{margin-top:1.6rem}
.figures>figure+figure{margin-top:0}
.phase{min-width:6.5rem}
figure.wide{max-width:34rem}
figcaption{font-size:.92rem;color:var(--soft);line-height:1.42;margin-top:.15rem}
svg.plot{display:block;width:100%;height:auto;font:12px system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans",sans-serif}
.plot .tick{fill:#3d4550;font-size:11.5px;font-variant-numeric:tabular-nums}
.plot .unit{font-size:11.5px;fill:#3d4550}
.plot .name{font-size:12px;font-weight:600;paint-order:stroke;stroke:#fffefa;stroke-width:3px;stroke-linejoin:round}
.plot .note{font-size:11px}
.plot .flag{font-size:10.5px;font-weight:600;fill:#20262e}
.plot .grid{stroke:#e4e1d6;stroke-width:1}
.plot .zero{stroke:#9aa0a8;stroke-width:1;border:0;padding:0}
.plot .axis{stroke:#20262e;stroke-width:1;fill:none}
.plot .pole{stroke:#9aa0a8;stroke-width:1;fill:none}
dl{display:grid;grid-template-columns:minmax(6rem,auto) 1fr;gap:.25rem 1rem;margin:.5rem 0;max-width:44rem}
dt{color:var(--soft)}
dd{margin:0}
.assumed{columns:2 18rem;column-gap:2rem;padding-left:1.2rem;margin:.4rem 0}
.assumed li{break-inside:avoid}
.tag{font-size:.78rem;border:1px dashed var(--soft);border-radius:.2rem;padding:0 .25rem;color:var(--soft);white-space:nowrap}
.caution{background:var(--wash);padding:.2rem 1rem .6rem;margin-top:2.4rem;border-radius:.3rem}
.caution h2{border:0;margin-top:.4rem}
.caution ul{padding-left:1.2rem;max-width:44rem}
footer{margin-top:2rem;color:var(--soft);font-size:.88rem}
code{font-family:ui-monospace,"DejaVu Sans Mono",monospace;font-size:.92em}
@media(max-width:40rem){
.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack,.stack tbody,.stack tr,.stack td,.stack th{display:block}
.stack tbody th{min-width:0}
.stack tr{padding:.6rem 0;border-bottom:1px solid var(--line)}
.stack td,.stack th{border:0;padding:.05rem 0}
.stack td[data-name]{display:grid;grid-template-columns:7.6rem 1fr;align-items:baseline;white-space:normal}
.bar.long{width:4.2rem}
.stack td[data-name]::before{content:attr(data-name);color:var(--soft);font-size:.88rem}
}
@page{size:A4;margin:14mm}
@media print{
body{background:#fff;font-size:10pt}
main{max-width:none;padding:0}
h2{break-after:avoid;margin-top:1.4rem}
.figures{grid-template-columns:1fr 1fr;gap:1rem}
.meter i,.bar i,.caution,.zero,.hurt{print-color-adjust:exact;-webkit-print-color-adjust:exact}
tr,.caution,.result{break-inside:avoid}
}
"#;
