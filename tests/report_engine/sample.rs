//! Documents that the tests set: a rich one that shows every kind of block, and a long one for measuring.

use std::f32::consts::TAU;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use stemclock::drawing::shape::{Anchor, Drawing, Ink, Stroke, pt};
use stemclock::report::block::{
    Attachment, Block, BlockKind, Callout, Cell, Column, DocumentSpec, Ends, Photo, Picture, Span, Table,
};

/// A date and time that never changes.
pub fn made() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-04-03T09:15:00+02:00").expect("a date in the form of RFC 3339")
}

/// A mark with as many notches as the severity has steps.
pub fn mark(notches: u8, ink: Ink, size: f32) -> Drawing {
    let mut drawing = Drawing::new(size, size, format!("severity mark with {notches} notches"));
    let (c, r) = (pt(size / 2.0, size / 2.0), size * 0.36);
    drawing.circle(c, r, (notches == 3).then_some(ink), Some(Stroke::solid(ink, size * 0.1)));
    for i in 0..notches {
        let turn = TAU * (f32::from(i) / 12.0 - 0.25);
        let ray = |length: f32| pt(c.x + turn.cos() * length, c.y + turn.sin() * length);
        drawing.line(ray(r), ray(size * 0.5), Stroke::solid(ink, size * 0.12));
    }
    drawing
}

/// A wheel as a clock with one marker at the given hour, as seen from the right.
pub fn clock(hour: f32, size: f32) -> Drawing {
    let mut drawing = Drawing::new(size, size, format!("a wheel from the right with a finding at {hour} hours"));
    let c = pt(size / 2.0, size / 2.0);
    let outer = size * 0.46;
    drawing.circle(c, outer, Some(Ink::Wash), Some(Stroke::solid(Ink::Rubber, size * 0.03)));
    drawing.circle(c, outer * 0.78, Some(Ink::Paper), Some(Stroke::solid(Ink::Metal, size * 0.012)));
    drawing.circle(c, outer * 0.16, None, Some(Stroke::solid(Ink::Metal, size * 0.012)));
    for n in 0..12_u8 {
        let turn = TAU * (f32::from(n) / 12.0 - 0.25);
        let ray = |length: f32| pt(c.x + turn.cos() * length, c.y + turn.sin() * length);
        drawing.line(ray(outer * 0.70), ray(outer * 0.78), Stroke::solid(Ink::Line, size * 0.008));
        if n % 3 == 0 {
            let label = if n == 0 { 12 } else { n };
            drawing.words(ray(outer * 0.55), label.to_string(), size * 0.09, Anchor::Middle, Ink::Line);
        }
    }
    let turn = TAU * (hour / 12.0 - 0.25);
    let spot = pt(c.x + turn.cos() * outer * 0.9, c.y + turn.sin() * outer * 0.9);
    drawing.line(c, spot, Stroke { dash: Some([2.0, 2.0]), ..Stroke::solid(Ink::Faint, size * 0.008) });
    drawing.circle(spot, size * 0.045, Some(Ink::Dangerous), Some(Stroke::solid(Ink::Paper, size * 0.012)));
    drawing
}

/// A small picture made on the spot, as a JPEG file.
pub fn photo() -> Photo {
    let (width, height) = (480, 320);
    let image = image::RgbImage::from_fn(width, height, |x, y| {
        let ring = (((x as f32 - 240.0).hypot(y as f32 - 160.0) / 14.0) as u32).is_multiple_of(2);
        image::Rgb(if ring { [60, 64, 70] } else { [(x / 2) as u8, (y / 2) as u8, 150] })
    });
    let mut jpeg = std::io::Cursor::new(Vec::new());
    image.write_to(&mut jpeg, image::ImageFormat::Jpeg).expect("the picture can be coded as JPEG");
    Photo {
        name: "ring.jpg".into(),
        jpeg: Arc::from(jpeg.into_inner()),
        pixel_width: width,
        pixel_height: height,
        width: Some(190.0),
        summary: "rings on a plain ground".to_owned(),
    }
}

fn reading(place: &str, reading: &str, limit: &str, margin: &str, source: &str, mark_: Option<Drawing>) -> Vec<Cell> {
    let place = match mark_ {
        Some(mark) => Cell::Marked(mark, vec![Span::text(place)]),
        None => Cell::text(place),
    };
    let source = Cell::Text(vec![Span::text(source).ink(Ink::Faint)]);
    vec![place, Cell::text(reading), Cell::text(limit), Cell::text(margin), source]
}

/// The table of readings, long enough for two pages.
pub fn readings(rows: usize) -> Table {
    let kinds = [
        ("Tread, centre, at 4:30", "1.4", "1.6", "−0.2", "Directive 2014/45/EU, Annex I, 5.2.3"),
        ("Cold pressure, front", "34.5", "36.0", "−1.5", "placard on the swing arm"),
        ("Disc, front left", "4.62", "4.50", "0.12", "stamped on the disc"),
        ("Battery at rest", "12.7", "12.4", "0.3", "common practice"),
        ("Drive slack at the tightest place", "31", "25 to 35", "4", "service manual, page 2-14"),
        ("Brake fluid, months since change", "19", "24", "5", "common practice"),
    ];
    let head = ["Reading", "Found", "Limit", "Margin", "Source of the limit"].map(Cell::text).to_vec();
    let rows = (0..rows)
        .map(|i| {
            let (place, found, limit, margin, source) = kinds[i % kinds.len()];
            let mark = (i % kinds.len() == 0).then(|| mark(2, Ink::Major, 9.0));
            reading(&format!("{place}, no. {}", i + 1), found, limit, margin, source, mark)
        })
        .collect();
    let columns =
        vec![Column::left(3.4), Column::decimal(1.0), Column::decimal(1.2), Column::decimal(1.0), Column::left(3.0)];
    Table { columns, head, rows }
}

/// A finding with its clock face.
pub fn finding(n: usize) -> Block {
    let hour = (n * 7 % 24) as f32 / 2.0;
    Block::side_by_side(
        Picture::Drawing(clock(hour, 92.0)),
        vec![
            Block::heading(3, format!("Finding {n}: cut in the tread, right shoulder")),
            Block::spans(vec![
                Span::text("Major. ").strong(),
                Span::text(
                    "Front wheel, 4:30 from the right, right shoulder, 707\u{a0}mm ahead of the valve along the crown. ",
                ),
                Span::text("A cut of 8\u{a0}mm across the ribs, no cord to be seen; the edges lift under a thumb."),
            ]),
            Block::spans(vec![Span::text("Seen on 3\u{a0}April 2026 at 18\u{a0}420\u{a0}km.").small().ink(Ink::Faint)]),
        ],
    )
}

/// A document that shows every kind of block.
pub fn rich() -> DocumentSpec {
    let mut spec = DocumentSpec::new("Inspection record: Workshop Standard 400", made());
    spec.author = "Żaneta Łącka".to_owned();
    spec.subject = "Season check on 3 April 2026".to_owned();
    spec.language = "en-GB".to_owned();
    spec.head = Ends { left: "Workshop Standard 400".to_owned(), right: "Season check, 3 April 2026".to_owned() };
    spec.foot = Ends { left: "A record of what was seen, not an official test.".to_owned(), right: String::new() };
    spec.attachments = vec![Attachment {
        name: "record.ron".to_owned(),
        media_type: "text/plain".to_owned(),
        description: "The record that these pages were laid out from".to_owned(),
        bytes: b"(schema: 1, note: \"a (small) record\")".to_vec(),
    }];
    spec.blocks = vec![
        Block::heading(1, "Inspection record"),
        Block::banner(
            mark(2, Ink::Major, 38.0),
            "Not fit until repaired",
            "On a season check of 48 checks: one major and two minor findings are open, and 3 checks are not done.",
            Ink::Major,
        ),
        Block::key_values(
            [
                ("Machine", "Workshop Standard 400"),
                ("Odometer", "18\u{a0}420\u{a0}km"),
                ("Layout", "solo, chain drive"),
                ("Air", "11\u{a0}°C, dry"),
                ("Checked by", "Żaneta Łącka"),
                ("With", "Νίκος Παπαδόπουλος, Щерба Олексій"),
                ("Frame number", "XXX0000000000000\u{a0}017"),
                ("Kind of check", "season"),
            ],
            true,
        ),
        Block::heading(2, "Findings"),
        finding(1),
        finding(2),
        Block::heading(2, "Readings"),
        Block::paragraph(
            "Each reading stands beside the limit that binds it. Where the machine and the law differ, the stricter \
             one counts; efficient office fluff shows the ligatures, and AVATAR To. the kerning.",
        ),
        Block::table(readings(26)),
        Block::heading(2, "Not checked"),
        Block::bullets([
            "Brake fluid, rear: the window of the reservoir is covered by the luggage frame. It counts as unchecked, \
             and an unchecked item is never shown as sound.",
            "Steering head under load: no helper to steady the machine.",
            "Headlamp aim.",
        ]),
        Block::from(BlockKind::Callout(Callout {
            mark: Some(mark(3, Ink::Dangerous, 14.0)),
            title: "Before the wheel comes off".to_owned(),
            text: vec![
                vec![Span::text(
                    "Pump the brake lever until it is firm before the machine moves again. Bed new pads in.",
                )],
                vec![Span::text("Split pins are used "), Span::text("once").strong(), Span::text(".")],
            ],
            ink: Ink::Dangerous,
            banner: false,
        })),
        Block::heading(2, "Pictures"),
        Block::image(photo(), "The front tyre, from the right. A photo is placed as it is, without being coded again."),
        Block::figure(clock(9.0, 120.0), "The rear wheel from the right, valve stem at twelve."),
        Block::key_values(
            [
                ("Long word", "Kraftfahrzeughaftpflichtversicherungsgesellschaftsangestelltenverhältnis".repeat(2)),
                ("Not in the fonts", "a plate with 東京 and a bell \u{7}".to_owned()),
                ("Signs", "≥ 1.6 mm · ±0.05 · 2 × 36° · ½ · „Anführung“ · “quoted” · – — …".to_owned()),
            ],
            false,
        ),
    ];
    spec
}

/// A record with the given number of findings and a long table, as the largest real ones.
pub fn long(findings: usize) -> DocumentSpec {
    let mut spec = rich();
    spec.blocks.truncate(4);
    spec.blocks.extend((1..=findings).map(finding));
    spec.blocks.push(Block::heading(2, "Readings"));
    spec.blocks.push(Block::table(readings(60)));
    spec
}
