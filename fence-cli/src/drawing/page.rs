//! One page for a browser: the plan, each run seen from outside, and the text sheet
//! below them.

use fence_geom::JobReport;
use svg::node::Text;

use super::elevation::Elevation;
use super::paper::Lie;
use super::shapes::printable;
use crate::job_reading::JobRead;

/// Returns a page that needs no other file, and prints the plan on a sheet of its
/// own, at its scale.
pub(crate) fn sheet_page(read: &JobRead, report: &JobReport, text: &str) -> String {
    let drawing = super::drawing(read, report);
    let lie = match drawing.lie {
        Lie::Landscape => "landscape",
        Lie::Portrait => "portrait",
    };
    // A text node writes itself with the signs of markup escaped.
    let title = Text::new(printable(&read.file.job.name));
    let text: Vec<String> = text.lines().map(printable).collect();
    let text = Text::new(text.join("\n"));
    let runs = report.runs.iter().filter(|run| !run.posts.is_empty());
    let elevations: String = runs
        .map(|run| {
            let run = Elevation::of_run(&read.file, &read.job.product, run);
            format!("<div class=\"run\">\n{}\n</div>\n", run.document())
        })
        .collect();
    format!(
        "<!DOCTYPE html>
<html lang=\"en\">
<head>
<meta charset=\"utf-8\">
<title>{title}</title>
<style>
@page {{ size: letter portrait; margin: 0.5in; }}
@page plan {{ size: letter {lie}; margin: 0; }}
body {{ margin: 0; background: white; color: black; }}
.plan {{ page: plan; break-after: page; }}
.plan svg {{ display: block; }}
.run {{ margin: 0.2in 0; break-inside: avoid; }}
.run svg {{ display: block; max-width: 100%; height: auto; }}
pre {{ font: 8.5pt/1.25 Consolas, Menlo, 'DejaVu Sans Mono', monospace; margin: 0.5in; }}
@media print {{ pre {{ font-size: 8pt; margin: 0; white-space: pre-wrap; }} }}
</style>
</head>
<body>
<div class=\"plan\">
{}
</div>
{elevations}<pre>
{text}
</pre>
</body>
</html>
",
        drawing.document
    )
}
