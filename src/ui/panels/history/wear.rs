//! Wear: the readings of one part over distance with the line, its interval, the limits and where they are reached;
//! everything that is drawn stands in the table beside it.

use egui::{Align2, Ui};
use egui_plot::{HLine, Line, LineStyle, MarkerShape, Plot, PlotPoint, PlotPoints, Points, Text, VLine};

use super::kept::Kept;
use crate::forecast::{Outlook, Series};
use crate::ui::ViewCtx;
use crate::ui::widgets::{caption, choice, strong, trouble};
use crate::units::{Distance, DistanceTag};

/// Points along the line and its interval.
const STEPS: usize = 60;
/// Readings in the table at the most: every row is there for a screen reader, in view or not.
const MOST_ROWS: usize = 40;

/// Draws it.
pub(super) fn ui(cx: &ViewCtx<'_>, kept: &Kept, chosen: &mut Option<String>, ui: &mut Ui) {
    for note in &kept.notes {
        trouble(ui, note);
    }
    let options: Vec<(Option<String>, String)> =
        kept.outlooks.iter().map(|o| (Some(o.series.id.clone()), o.series.title.clone())).collect();
    let soonest = kept.outlooks.iter().filter_map(|o| Some((o, o.next()?.km))).min_by(|a, b| a.1.total_cmp(&b.1));
    let default = soonest.map(|(o, _)| o).or(kept.outlooks.first()).map(|o| o.series.id.clone());
    if !options.iter().any(|(id, _)| id == chosen) {
        *chosen = default;
    }
    let Some(outlook) = kept.outlooks.iter().find(|o| Some(&o.series.id) == chosen.as_ref()) else {
        strong(ui, "Nothing that wears was measured yet");
        ui.label(
            "Tread, linings, discs, drums and the chain appear here once they are measured on the walk-around (F1).",
        );
        seasons(cx, kept, ui);
        return;
    };
    if let Some(id) = choice(ui, "Part", chosen, &options) {
        *chosen = id;
    }
    ui.label(outlook.rate(cx.units()));
    for ahead in &outlook.ahead {
        ui.add(egui::Label::new(ahead.words(outlook, cx.units())).wrap());
    }
    for note in &outlook.series.notes {
        trouble(ui, note);
    }
    if ui.available_width() > 760.0 {
        ui.columns(2, |columns| {
            if let [left, right] = columns {
                plot(cx, outlook, left);
                table(cx, outlook, right);
            }
        });
    } else {
        plot(cx, outlook, ui);
        table(cx, outlook, ui);
    }
    assumed(cx, &outlook.series, ui);
    seasons(cx, kept, ui);
}

fn plot(cx: &ViewCtx<'_>, outlook: &Outlook, ui: &mut Ui) {
    let (series, units, t) = (&outlook.series, cx.units(), cx.tokens.clone());
    let per = units.unit::<DistanceTag>();
    let x = |km: f64| km / per.factor;
    let y = |value: f64| series.figure.number(value, units);
    let first = series.readings.first().map_or(0.0, |r| r.km);
    let last = series.readings.last().map_or(0.0, |r| r.km);
    // Ahead as far as the next limit is reached at the latest, and no farther than three times what was measured.
    let reach = outlook.next().map_or(last, |a| a.crossing.latest.unwrap_or(a.crossing.at));
    let end = reach.clamp(last, last + 3.0 * (last - first).max(500.0));
    let plain = if series.fitted_on.is_some() { "since it was fitted" } else { "of the machine" };
    Plot::new("wear")
        .height(280.0)
        .allow_drag(false)
        .allow_zoom(false)
        .allow_scroll(false)
        .allow_boxed_zoom(false)
        .allow_double_click_reset(false)
        .x_axis_label(format!("{} {plain}", per.symbol))
        .y_axis_label(series.figure.unit(units))
        .set_margin_fraction(egui::vec2(0.06, 0.1))
        .show(ui, |plot| {
            if let Ok(wear) = &series.wear {
                let at = |i: usize| first + (end - first) * i as f64 / STEPS as f64;
                let line = |off: f64| -> PlotPoints<'static> {
                    (0..=STEPS).map(|i| [x(at(i)), y(wear.at(at(i)) + off * wear.half_width(at(i)))]).collect()
                };
                plot.line(Line::new("line", line(0.0)).color(t.accent).width(2.0));
                for off in [-1.0, 1.0] {
                    let edge = Line::new("80 %", line(off)).color(t.accent).width(1.0);
                    plot.line(edge.style(LineStyle::Dashed { length: 6.0 }));
                }
            }
            for limit in &series.limits {
                let style = LineStyle::Dotted { spacing: 5.0 };
                plot.hline(HLine::new("limit", y(limit.value)).color(t.strong).width(1.5).style(style));
                let words = format!("{} {}", limit.trust.word(), series.figure.show(limit.value, units));
                let place = PlotPoint::new(x(first), y(limit.value));
                plot.text(Text::new("limit", place, words).anchor(Align2::LEFT_BOTTOM).color(t.strong));
            }
            if let Some(next) = outlook.next().filter(|a| a.crossing.at <= end) {
                plot.vline(VLine::new("reached", x(next.crossing.at)).color(t.faint).width(1.0));
                let place = PlotPoint::new(x(next.crossing.at), y(next.limit.value));
                plot.text(Text::new("reached", place, "reached here").anchor(Align2::RIGHT_BOTTOM).color(t.strong));
            }
            for (is_questioned, shape, name) in
                [(false, MarkerShape::Circle, "readings"), (true, MarkerShape::Cross, "questioned")]
            {
                let points: Vec<[f64; 2]> = series
                    .readings
                    .iter()
                    .filter(|r| r.is_questioned == is_questioned)
                    .map(|r| [x(r.km), y(r.value)])
                    .collect();
                plot.points(Points::new(name, points).shape(shape).radius(4.5).filled(true).color(t.strong));
            }
        });
    caption(ui, "Dots: readings. Crosses: questioned. Full line: the fit. Dashed: 80 % of it. Dotted: limits.");
}

/// What the plot shows, in figures.
fn table(cx: &ViewCtx<'_>, outlook: &Outlook, ui: &mut Ui) {
    let (series, units) = (&outlook.series, cx.units());
    let km = |km: f64| units.show(Distance::km(km.max(0.0)));
    if let Some(on) = series.fitted_on {
        caption(ui, &format!("In since {on}; distances are counted from then."));
    } else {
        caption(ui, "Nobody took down when it was fitted; distances are those of the machine.");
    }
    let hidden = series.readings.len().saturating_sub(MOST_ROWS);
    if hidden > 0 {
        caption(ui, &format!("The last {MOST_ROWS} of {} readings; the plot has them all.", series.readings.len()));
    }
    egui::Grid::new("readings").num_columns(4).striped(true).show(ui, |ui| {
        for title in ["Day", "Distance", "Read", "On the line"] {
            strong(ui, title);
        }
        ui.end_row();
        for reading in &series.readings[hidden..] {
            ui.label(reading.date.to_string());
            ui.label(km(reading.km));
            let mark = if reading.is_questioned { ", questioned" } else { "" };
            ui.label(format!("{}{mark}", series.figure.show(reading.value, units)));
            ui.label(match &series.wear {
                Ok(wear) => series.figure.show(wear.at(reading.km), units),
                Err(_) => "none".into(),
            });
            ui.end_row();
        }
    });
    for limit in &series.limits {
        let shown = series.figure.show(limit.value, units);
        caption(ui, &format!("Limit {shown}: {}, {}", limit.trust.word(), limit.source));
    }
}

/// What the forecast takes for granted.
fn assumed(cx: &ViewCtx<'_>, series: &Series, ui: &mut Ui) {
    let show = |value: f64| series.figure.show(value, cx.units());
    caption(
        ui,
        &format!(
            "Taken for granted: one reading errs by {} (standard error) and is read to {}; wear differs by {:.0} % from one \
             stretch of {} to the next. These are assumptions. The interval holds the truth in about four of five cases \
             like that, and a forecast is no verdict.",
            show(series.gauge.error),
            show(series.gauge.step),
            series.gauge.uneven * 100.0,
            cx.units().show(Distance::km(series.gauge.stretch)),
        ),
    );
}

/// The battery, year by year.
fn seasons(cx: &ViewCtx<'_>, kept: &Kept, ui: &mut Ui) {
    if kept.seasons.is_empty() {
        return;
    }
    ui.add_space(12.0);
    strong(ui, "Battery at rest, by season");
    let volts = |v: f64| cx.units().show(crate::units::Voltage::volts(v));
    egui::Grid::new("battery").num_columns(4).striped(true).show(ui, |ui| {
        for title in ["Year", "Readings", "Middle", "Least"] {
            strong(ui, title);
        }
        ui.end_row();
        for season in &kept.seasons {
            ui.label(season.year.to_string());
            ui.label(season.readings.to_string());
            ui.label(volts(season.middle));
            ui.label(volts(season.least));
            ui.end_row();
        }
    });
    let falls = kept.seasons.len() > 2 && kept.seasons.windows(2).all(|w| w[1].middle < w[0].middle);
    caption(
        ui,
        if falls {
            "Lower season after season: have its capacity tested. Rest voltage is a state of charge; the same charger and \
             the same rest make it comparable."
        } else {
            "Rest voltage is a state of charge and no wear; a fall season after season would ask for a test of capacity."
        },
    );
}
