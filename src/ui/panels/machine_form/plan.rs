//! The machine in plan beside its data: it takes the layout, the wheelbase and the tyres as they are typed, and a wheel
//! that is pressed is the wheel in hand.

use egui::{Rect, Role, Sense, Ui, WidgetInfo, pos2, vec2};

use super::Form;
use crate::drawing::plan::{PlanView, draw};
use crate::ui::widgets::{caption, paint};

/// Draws the plan in the room that is left.
pub fn ui(form: &mut Form<'_>, size: egui::Vec2, ui: &mut Ui) {
    let view = PlanView { width: size.x, height: size.y, selected_wheel: *form.wheel, ..PlanView::default() };
    let plan = draw(form.machine, &view);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &plan.drawing.summary));
    paint(ui.painter(), &plan.drawing, rect.min, 1.0, form.cx.tokens);
    for (position, [left, top, right, bottom]) in plan.wheels {
        let corner = rect.min.to_vec2();
        let area = Rect::from_min_max(pos2(left, top) + corner, pos2(right, bottom) + corner);
        let name = format!("{} wheel", position.word());
        let response = ui.interact(area, ui.scope_id().with(("plan", position)), Sense::click());
        let is_chosen = *form.wheel == Some(position);
        response.widget_info(|| WidgetInfo::selected(Role::Button, true, is_chosen, &name));
        if response.hovered() || response.has_focus() {
            let stroke = egui::Stroke::new(1.5, form.cx.tokens.accent);
            ui.painter().rect_stroke(area, 4.0, stroke, egui::StrokeKind::Outside);
        }
        if response.on_hover_text(&name).clicked() {
            *form.wheel = Some(position);
            form.keep.open.insert("Wheels");
        }
    }
    ui.allocate_exact_size(vec2(0.0, 2.0), Sense::hover());
    caption(ui, "Seen from above, nose up, to scale by wheelbase, track and tyres. Press a wheel for its data.");
}
