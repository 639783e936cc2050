//! Pages as text, for snapshot tests and for looking into a layout. It must not decide anything.

use std::fmt::Write as _;

use super::page::{Area, Layout, Placed};

/// Writes every placed item on a line of its own, with positions to a tenth of a point.
pub fn dump(layout: &Layout) -> String {
    let mut out = String::new();
    let meta = &layout.meta;
    // Writing to a string cannot fail, so the results are of no interest.
    let _ = writeln!(out, "document “{}” by “{}”, {}, {}", meta.title, meta.author, meta.language, meta.created);
    for (i, page) in layout.pages.iter().enumerate() {
        let _ = writeln!(out, "page {} of {}: {:.1} × {:.1}", i + 1, layout.pages.len(), page.width, page.height);
        for item in &page.items {
            write_item(&mut out, item);
        }
    }
    for entry in &layout.outline {
        let _ = writeln!(out, "bookmark {} page {} y {:.1} “{}”", entry.level, entry.page + 1, entry.y, entry.text);
    }
    for missing in &layout.missing {
        let _ = writeln!(out, "missing: {}", missing.message());
    }
    out
}

fn write_item(out: &mut String, item: &Placed) {
    let area = |area: &Area| format!("{:.1},{:.1} {:.1}×{:.1}", area.x, area.y, area.width, area.height);
    let _ = match item {
        Placed::Text(run) => writeln!(
            out,
            "  text {:.1},{:.1} {:?} {} {:?} width {:.1} “{}”",
            run.x, run.y, run.face, run.size, run.ink, run.width, run.text
        ),
        Placed::Path { points, closed, fill, stroke } => {
            let ends = [points.first(), points.last()].map(|p| p.map_or((0.0, 0.0), |p| (p.x, p.y)));
            writeln!(
                out,
                "  path {} corners {:.1},{:.1} to {:.1},{:.1} closed {closed} fill {fill:?} stroke {stroke:?}",
                points.len(),
                ends[0].0,
                ends[0].1,
                ends[1].0,
                ends[1].1
            )
        }
        Placed::Circle { centre, radius, fill, stroke } => writeln!(
            out,
            "  circle {:.1},{:.1} radius {radius:.1} fill {fill:?} stroke {:?}",
            centre.x,
            centre.y,
            stroke.map(|stroke| stroke.ink)
        ),
        Placed::Rect { area: at, ink } => writeln!(out, "  rect {} {ink:?}", area(at)),
        Placed::Rule { from, to, width, ink } => {
            writeln!(out, "  rule {:.1},{:.1} to {:.1},{:.1} {width} {ink:?}", from.x, from.y, to.x, to.y)
        }
        Placed::Photo { area: at, jpeg, summary } => {
            writeln!(out, "  photo {} {} bytes “{summary}”", area(at), jpeg.len())
        }
        Placed::Drawing { area: at, summary, items } => {
            writeln!(out, "  drawing {} {} pieces “{summary}”", area(at), items.len())
        }
    };
}
