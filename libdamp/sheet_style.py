"""How the page to print looks: black on white, nothing below 8.5 points, grey prints as well as colour."""

STYLE = """@page { size: A4; margin: 11mm 12mm; }
* { box-sizing: border-box; }
body { font: 8.5pt/1.2 sans-serif; color: #000; background: #fff; margin: 0 auto; max-width: 186mm; }
header { display: flex; flex-wrap: wrap; align-items: baseline; gap: 0 4mm; margin-bottom: 1mm; }
h1 { font-size: 13pt; margin: 0; overflow-wrap: anywhere; }
h2 { font-size: 10.5pt; margin: 3mm 0 1mm; break-after: avoid; }
p { margin: 0; overflow-wrap: anywhere; }
.banner { font-weight: bold; border: 0.4mm solid #000; padding: 0.3mm 1.5mm; }
table { width: 100%; border-collapse: collapse; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { text-align: left; vertical-align: top; padding: 0.55mm 1.5mm; border-top: 0.2mm solid #777; }
td { overflow-wrap: anywhere; }
.word { overflow-wrap: normal; }
thead th, thead td { border-top: 0; font-size: 10pt; }
#hands table { table-layout: fixed; }
#hands th[scope=row], #hands thead td { width: 19mm; padding-left: 0; }
.verdict td, .verdict th { border-top: 0.6mm solid #000; }
.verdict td { font-size: 10pt; }
.fit td { font-size: 11.5pt; line-height: 1.25; }
.fit th { font-size: 11.5pt; }
.fit td, .fit th { border-top: 0.6mm solid #000; border-bottom: 0.6mm solid #000; background: #eee; }
mark { background: #000; color: #fff; padding: 0 1mm; font-weight: bold; }
.fit, mark { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.beside th, .beside td { border-top: 0; }
.beside td { font-style: italic; }
ul { margin: 0; padding-left: 3.5mm; }
.figures { margin-bottom: 2.5mm; }
.figures th[scope=row] { font-weight: normal; }
#second, #more { break-before: page; }
figure { margin: 3mm 0 0; break-inside: avoid; }
.wide svg { width: 82%; }
.two svg { width: 90%; }
svg { max-width: 100%; height: auto; display: block; }
@media screen { body { padding: 6mm; max-width: 198mm; } #second, #more { margin-top: 12mm; } }
"""
